import type { Remark, TakeFacts } from '../../model/check.ts';
import { isSameReason, type Reason } from '../../model/reason.ts';

/** A higher setting that is quieter by this is another setting than the notes say (common practice: the smallest step). */
const AGAINST_ORDER_DB = 0.5;
/** Of an output that ends below this a loudness contour may lift all that there is (chosen here: contours end at some 300 Hz). */
const BASS_UP_TO_HZ = 1000;
/** Among more takes than this that contradict each other, two that were exchanged are not looked for. */
const MOST_INVOLVED = 20;

/** Takes whose levels stand against the order of the settings at any of their taps, each with what is said of it. */
export function againstOrder(all: readonly TakeFacts[]): ReadonlyMap<TakeFacts, Remark[]> {
  const remarks = new Map<TakeFacts, Remark[]>();
  const tapIds = [...new Set(all.flatMap(({ channels }) => channels.map(({ tapId }) => tapId)))];
  const against = tapIds.flatMap((tapId) => {
    const levels = levelsOf(tapId, all);
    const one = outOfOrder(levels) ?? ofOneLevel(levels);
    return one === null ? [] : [{ tapId, ...one }];
  });
  const inOrder = tapIds.filter((tapId) => !against.some((one) => one.tapId === tapId));
  const found = against.filter((one) => !isLiftedBass(one, inOrder));
  for (const { tapId, takes, reason: own } of found) {
    const isOnAll = takes.every((take) =>
      take.channels.every(
        (channel) =>
          channel.levelDbFs === null ||
          found.some((other) => other.tapId === channel.tapId && isSameReason(other.reason, own)),
      ),
    );
    // Takes are exchanged with all of their channels: where one alone shows it, something else was moved.
    const reason =
      isOnAll || own.code !== 'settings exchanged'
        ? own
        : { ...own, code: 'level fits no neighbour' as const };
    for (const take of takes) {
      const known = remarks.get(take) ?? [];
      const same = known.find((one) => isSameReason(one.reason, reason));
      if (same === undefined) known.push({ weight: 'settle', tapIds: [tapId], reason });
      else same.tapIds.push(tapId);
      remarks.set(take, known);
    }
  }
  return remarks;
}

/** Bass that a contour lifts at the low settings stands against their order; what reaches further in the same takes does not. */
function isLiftedBass(
  { tapId, takes }: { tapId: string; takes: readonly TakeFacts[] },
  inOrder: readonly string[],
): boolean {
  return takes.every(({ channels }) => {
    const own = channels.find((channel) => channel.tapId === tapId);
    const others = channels.filter(
      (channel) => inOrder.includes(channel.tapId) && channel.levelDbFs !== null,
    );
    return (
      (own?.upToHz ?? Number.POSITIVE_INFINITY) < BASS_UP_TO_HZ &&
      others.some(({ upToHz }) => (upToHz ?? 0) >= BASS_UP_TO_HZ)
    );
  });
}

interface SettingLevel {
  readonly take: TakeFacts;
  readonly setting: number;
  readonly levelDb: number;
}

function levelsOf(tapId: string, all: readonly TakeFacts[]): SettingLevel[] {
  return all.flatMap((take) =>
    take.channels.flatMap(({ tapId: id, levelDbFs }) =>
      id === tapId && levelDbFs !== null && take.setting !== null
        ? [{ take, setting: take.setting, levelDb: levelDbFs }]
        : [],
    ),
  );
}

/**
 * Two takes that would be in order if they were exchanged; or else each that leaves the rest in order when it is left out; or
 * else all that contradict another. Null where all are in order.
 */
function outOfOrder(levels: readonly SettingLevel[]): { takes: TakeFacts[]; reason: Reason } | null {
  const inOrder = (of: readonly SettingLevel[]) =>
    of.every((one) => !of.some((other) => contradict({ lower: one, higher: other })));
  const involved = levels.filter((one) =>
    levels.some(
      (other) => contradict({ lower: one, higher: other }) || contradict({ lower: other, higher: one }),
    ),
  );
  if (involved.length === 0) return null;
  const found = (of: readonly SettingLevel[], code: 'settings exchanged' | 'level fits no neighbour') => ({
    takes: of.map(({ take }) => take).filter((take, i, takes) => takes.indexOf(take) === i),
    reason: { code, settings: [...new Set(of.map(({ setting }) => setting))].sort((a, b) => a - b) },
  });
  if (involved.length > MOST_INVOLVED) return found(involved, 'level fits no neighbour');
  const pairs = involved
    .flatMap((one, i) => involved.slice(i + 1).map((other) => [one, other] as const))
    .filter(([one, other]) => one.setting !== other.setting && inOrder(exchanged(levels, { one, other })));
  if (pairs.length > 0) return found(pairs.flat(), 'settings exchanged');
  const alone = involved.filter((one) => inOrder(levels.filter((level) => level !== one)));
  return found(alone.length > 0 ? alone : involved, 'level fits no neighbour');
}

/**
 * Two neighbouring settings with one level in the middle of a volume that rises on both sides: one of them is not at its
 * setting, or the recorder's gain was moved. At either end a volume may stand still.
 */
function ofOneLevel(levels: readonly SettingLevel[]): { takes: TakeFacts[]; reason: Reason } | null {
  const sorted = [...levels].sort((a, b) => a.setting - b.setting);
  const rises = (from: number, to: number) =>
    sorted
      .slice(from, to)
      .some((one) => sorted.slice(from, to).some((other) => one.levelDb > other.levelDb + RISES_DB));
  for (let i = 1; i < sorted.length; i++) {
    const [lower, higher] = [sorted[i - 1], sorted[i]];
    if (lower.setting === higher.setting || Math.abs(higher.levelDb - lower.levelDb) > SAME_LEVEL_DB)
      continue;
    if (rises(0, i) && rises(i, sorted.length))
      return {
        takes: [lower.take, higher.take],
        reason: { code: 'level fits no neighbour', settings: [lower.setting, higher.setting] },
      };
  }
  return null;
}

/** Repeats agree this well; the smallest step of a volume is about 0.5 dB (common practice). */
const SAME_LEVEL_DB = 0.2;
const RISES_DB = 1;

function exchanged(
  levels: readonly SettingLevel[],
  { one, other }: { one: SettingLevel; other: SettingLevel },
): SettingLevel[] {
  return levels.map((level) => {
    if (level === one) return { ...one, levelDb: other.levelDb };
    return level === other ? { ...other, levelDb: one.levelDb } : level;
  });
}

function contradict({ lower, higher }: { lower: SettingLevel; higher: SettingLevel }): boolean {
  return lower.setting < higher.setting && lower.levelDb > higher.levelDb + AGAINST_ORDER_DB;
}
