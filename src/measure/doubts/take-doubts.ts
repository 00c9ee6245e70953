import type { Remark, TakeFacts } from '../../model/check.ts';
import type { Doubt, DoubtKind } from '../../model/doubt.ts';
import type { takeReasons } from '../../model/reason/take-reasons.ts';
import { codeOf, type Reason, type ReasonCode } from '../../model/reason.ts';
import type { Session } from '../../model/session.ts';
import { unreadSettings } from './unread-settings.ts';

type RemarkCode = keyof typeof takeReasons | 'settings exchanged' | 'level fits no neighbour';

/**
 * What each remark that is more than a note takes from the answers; null where what it touches is already left out of what was
 * measured (steps of a ladder, the muted part of a sweep), or stands in its uncertainty.
 */
const DOUBTED: Readonly<Record<RemarkCode, DoubtKind | null>> = {
  'recorder clipped in a sweep': 'take',
  'recorder clipped on the ladder': null,
  'little headroom': null,
  'low level': null,
  'little above the noise': null,
  'offset at the recorder': null,
  'gain changed within the take': 'take',
  'gain differs along the ladder': null,
  'gain follows the level': 'gain',
  'tone does not follow the sweeps': 'take',
  'muted at the start': null,
  'fading in under the sweep': null,
  'fading in under the lead-in': null,
  knock: 'take',
  'chime or voice': null,
  'nothing on this channel': 'take',
  'silent to the last bit': 'take',
  'same signal as another output': 'take',
  'carries another side': null,
  'channels swapped': null,
  'sections not heard': 'take',
  'stopped early': 'take',
  'samples lost or added': 'take',
  'sweeps contradict each other': 'take',
  'samples that no recorder makes': 'take',
  'ends lower than a quieter take': 'take',
  'every take has one peak': 'setting',
  'clocks not compared': null,
  'clocks far apart': null,
  'averaged with an earlier take': null,
  'differs from an earlier take': 'setting',
  'same samples as another take': 'take',
  'settings exchanged': 'setting',
  'level fits no neighbour': 'setting',
};

/** A radio’s volume, its supply, a clock and a recorder’s gain move all channels, also where one alone shows it. */
const MOVES_ALL_CHANNELS: readonly ReasonCode[] = [
  'gain changed within the take',
  'gain follows the level',
  'samples lost or added',
  'samples that no recorder makes',
  'sweeps contradict each other',
  'tone does not follow the sweeps',
  'settings exchanged',
  'level fits no neighbour',
];

/** One source of doubts for the check, the findings and the advice: from what is said of the takes, and from those never read. */
export function takeDoubts(of: {
  session: Session;
  facts: readonly TakeFacts[];
  /** One list for each of the facts. */
  remarks: readonly (readonly Remark[])[];
}): Doubt[] {
  const { session, facts, remarks } = of;
  const all = [
    ...facts.flatMap((take, t) => remarks[t].flatMap((remark) => doubtOf(take, remark))),
    ...exchangedAtSome(of),
    ...unreadSettings({ session, facts }).map(
      ({ tapId, settings }): Doubt => ({
        kind: 'take',
        reason: { code: 'listed and not read', settings },
        tapIds: [tapId],
        settings,
      }),
    ),
  ];
  return merged(all);
}

/** Taps that a remark is about: none named means all of the take. */
export function tapsTouched(remark: Remark, { channels }: TakeFacts): string[] {
  const { tapIds, reason } = remark;
  return tapIds.length === 0 || MOVES_ALL_CHANNELS.includes(reason.code)
    ? channels.map(({ tapId }) => tapId)
    : tapIds;
}

function doubtOf(take: TakeFacts, remark: Remark): Doubt[] {
  const { weight, reason } = remark;
  if (weight === 'note' || take.setting === null) return [];
  const kind = DOUBTED[reason.code as RemarkCode] ?? null;
  return kind === null
    ? []
    : [
        {
          kind,
          reason: withFile(reason, take),
          tapIds: tapsTouched(remark, take),
          settings: kind === 'gain' ? null : [take.setting],
        },
      ];
}

/** Beside its take a remark needs no file; among the answers it does. */
function withFile(reason: Exclude<Reason, string>, { file, setting }: TakeFacts): Reason {
  switch (reason.code) {
    case 'knock':
      return { code: 'knock in a sweep', file, atSeconds: reason.atSeconds };
    case 'recorder clipped in a sweep':
      return { code: 'full-scale samples in a sweep', file, settings: setting === null ? [] : [setting] };
    default:
      return reason;
  }
}

/** Another side at some settings and not at others: which tap those takes are of, or what joined the sides, is not sure. */
function exchangedAtSome({
  facts,
  remarks,
}: {
  facts: readonly TakeFacts[];
  remarks: readonly (readonly Remark[])[];
}): Doubt[] {
  const tapIds = new Set(facts.flatMap(({ channels }) => channels.map(({ tapId }) => tapId)));
  return [...tapIds].flatMap((tapId): Doubt[] => {
    const own = facts.flatMap((take, t) =>
      take.setting !== null && take.channels.some((channel) => channel.tapId === tapId)
        ? [{ setting: take.setting, wrong: remarks[t].find((remark) => isWrongLabel(remark, tapId)) }]
        : [],
    );
    const wrong = own.filter((one) => one.wrong !== undefined);
    if (wrong.length === 0 || wrong.length === own.length) return [];
    const settings = [...new Set(wrong.map(({ setting }) => setting))];
    const { reason, tapIds: taps } = wrong[0].wrong!;
    const isExchanged = codeOf(reason) === 'channels swapped';
    return [
      {
        kind: 'take',
        reason: isExchanged ? { code: 'outputs exchanged', tapIds: taps, settings } : reason,
        tapIds: [tapId],
        settings,
      },
    ];
  });
}

function isWrongLabel({ reason, tapIds }: Remark, tapId: string): boolean {
  return (
    typeof reason !== 'string' &&
    (reason.code === 'channels swapped' || reason.code === 'carries another side') &&
    tapIds.includes(tapId)
  );
}

/** What is doubted alike at several settings of the same taps, then at several taps of the same settings, is one doubt. */
function merged(doubts: readonly Doubt[]): Doubt[] {
  const ofSettings = joined(
    doubts,
    ({ tapIds }) => tapIds,
    ({ settings: one }, { settings: other }) => ({
      settings:
        one === null || other === null ? null : [...new Set([...one, ...other])].sort((a, b) => a - b),
    }),
  );
  return joined(
    ofSettings,
    ({ settings }) => settings,
    ({ tapIds: one }, { tapIds: other }) => ({
      tapIds: [...new Set([...one, ...other])],
    }),
  );
}

function joined(
  doubts: readonly Doubt[],
  alike: (doubt: Doubt) => unknown,
  join: (one: Doubt, other: Doubt) => Partial<Doubt>,
): Doubt[] {
  const all = new Map<string, Doubt>();
  for (const doubt of doubts) {
    const key = JSON.stringify([doubt.kind, doubt.reason, alike(doubt)]);
    const same = all.get(key);
    all.set(key, same === undefined ? doubt : { ...same, ...join(same, doubt) });
  }
  return [...all.values()];
}
