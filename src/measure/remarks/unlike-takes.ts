import type { ChannelFacts, Remark, TakeFacts } from '../../model/check.ts';

/** What shows only beside the other takes of a tap: a file that was treated after it was recorded. */
export function unlikeTakes(all: readonly TakeFacts[]): ReadonlyMap<TakeFacts, Remark[]> {
  const remarks = new Map<TakeFacts, Remark[]>();
  const say = (take: TakeFacts, remark: Remark) => remarks.set(take, [...(remarks.get(take) ?? []), remark]);
  const tapIds = new Set(all.flatMap(({ channels }) => channels.map(({ tapId }) => tapId)));
  for (const tapId of tapIds) {
    const own = all.flatMap((take) => {
      const channel = take.channels.find((one) => one.tapId === tapId && one.carries !== 'nothing');
      return channel === undefined ? [] : [{ take, channel }];
    });
    for (const { take, channel } of own) {
      const wider = own.find((other) => endsLower(channel, other.channel));
      if (wider !== undefined && !someKeepTheirs(take, all))
        say(take, {
          weight: 'record again',
          tapIds: [tapId],
          reason: {
            code: 'ends lower than a quieter take',
            upToHz: rounded(channel.upToHz!),
            otherUpToHz: rounded(wider.channel.upToHz!),
            file: wider.take.file,
          },
        });
    }
    if (areNormalised(own))
      for (const { take } of own)
        say(take, {
          weight: 'settle',
          tapIds: [tapId],
          reason: { code: 'every take has one peak', peakDbFs: Number(own[0].channel.peakDbFs.toFixed(1)) },
        });
  }
  return remarks;
}

/** A codec or another rate ends every channel of a file: where one still reaches up, something else was on the others. */
function someKeepTheirs(take: TakeFacts, all: readonly TakeFacts[]): boolean {
  return take.channels.some((channel) => {
    const others = all.flatMap((other) =>
      other === take ? [] : other.channels.filter(({ tapId }) => tapId === channel.tapId),
    );
    const widestHz = Math.max(0, ...others.map(({ upToHz = null }) => upToHz ?? 0));
    return (channel.upToHz ?? 0) > ABOVE_CODECS_HZ && (channel.upToHz ?? 0) > LOWER_BY * widestHz;
  });
}

/** Two thirds of an octave less than another take that was quieter (a codec's or a rate's ceiling is sharp). */
const LOWER_BY = 0.63;

/** Noise ends a band too: what stands less clear than the other says nothing. */
const AS_CLEAR_DB = 3;

function endsLower({ upToHz = null, clearDb = null, levelDbFs }: ChannelFacts, other: ChannelFacts): boolean {
  const otherUpToHz = other.upToHz ?? null;
  return (
    clearDb !== null &&
    clearDb > (other.clearDb ?? Number.POSITIVE_INFINITY) - AS_CLEAR_DB &&
    upToHz !== null &&
    otherUpToHz !== null &&
    levelDbFs !== null &&
    other.levelDbFs !== null &&
    other.levelDbFs <= levelDbFs &&
    upToHz < LOWER_BY * otherUpToHz
  );
}

/** Below, an output may end by itself, and be none the narrower for a codec. */
const ABOVE_CODECS_HZ = 10_000;

interface OwnTake {
  readonly take: TakeFacts;
  readonly channel: ChannelFacts;
}

/** Peaks of one radio at several settings are never alike to this, near full scale, unless a program made them so. */
const ALIKE_DB = 0.05;
const NEAR_FULL_SCALE_DB_FS = -3;
const LEAST_SETTINGS = 3;

function areNormalised(own: readonly OwnTake[]): boolean {
  const peaks = own.map(({ channel }) => channel.peakDbFs);
  const settings = new Set(own.map(({ take }) => take.setting));
  const [least, most] = [Math.min(...peaks), Math.max(...peaks)];
  const isClipped = own.some(({ channel }) => channel.clippedRuns > 0);
  return (
    settings.size >= LEAST_SETTINGS && !isClipped && most - least < ALIKE_DB && least > NEAR_FULL_SCALE_DB_FS
  );
}

function rounded(hz: number): number {
  return Number(hz.toPrecision(2));
}
