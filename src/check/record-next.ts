import { NO_FULL_RANGE_TAP } from '../findings/bass/bass-levels.ts';
import { NO_LOW_DRIVE } from '../findings/bass/bass-onset.ts';
import { isMicrophone } from '../findings/withheld/microphone.ts';
import type { Check } from '../model/check.ts';
import { type Finding, type FindingOf, findingsOf } from '../model/finding.ts';
import { isNotMeasurable } from '../model/measured.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Session } from '../model/session.ts';
import { recorderDoubts } from './recorder-doubts.ts';

type Next = Check['recordNext'][number];
type BassChange = FindingOf<'bass-change'>;

/** A plateau, and so any statement about bass, needs three settings. */
const FEWEST_SETTINGS = 3;
/** More settings only where a pair differs from the first by over this (common practice). */
const DIFFERS_DB = 0.5;

/** What to record while the dash is open, what it cannot be closed without first. */
export function recordNext(of: {
  session: Session;
  measurements: readonly TapMeasurement[];
  findings: readonly Finding[];
  missing: Check['missing'];
}): Next[] {
  const { missing } = of;
  const next = [
    ...missing.map(({ tapId, settings }) => ({
      tapIds: [tapId],
      settings,
      why: 'no usable take',
      needed: true,
    })),
    ...fewSettings(of),
    ...undecidedBass(of),
    ...subwooferAlone(of),
    ...unlikeTheFirst(of),
    ...unlinked(of),
    ...onsets(of),
    ...clipBracket(of),
    ...fullTrack(of),
    ...recorderDoubts(of.findings),
  ];
  return merged(next);
}

function fewSettings({
  session,
  measurements,
}: {
  session: Session;
  measurements: readonly TapMeasurement[];
}): Next[] {
  const settings = new Set(measurements.map(({ setting }) => setting));
  return settings.size >= FEWEST_SETTINGS
    ? []
    : [
        {
          tapIds: session.taps.map(({ id }) => id),
          settings: [],
          why: `${settings.size === 1 ? 'one setting says' : 'two settings say'} nothing about bass against volume: record low, middle and high at least`,
          needed: true,
        },
      ];
}

function undecidedBass({ findings }: { findings: readonly Finding[] }): Next[] {
  return findingsOf(findings, 'bass-change').flatMap(({ verdict, recordNext: setting, tapIds, reason }) =>
    verdict === 'cannot be told' && setting !== null
      ? [
          {
            tapIds,
            settings: [setting],
            why: `the bass cannot be judged yet${reason === null ? '' : ` (${reason})`}`,
            needed: true,
          },
        ]
      : [],
  );
}

/** A subwoofer output recorded by itself; a recorder with one channel cannot do better. */
function subwooferAlone({ session, findings }: { session: Session; findings: readonly Finding[] }): Next[] {
  return findingsOf(findings, 'bass-change').flatMap(({ reason, tapIds }) =>
    reason === NO_FULL_RANGE_TAP
      ? [
          {
            tapIds,
            settings: [],
            why: 'together with a full-range output on another channel, at low, middle and high: alone, its volume law and its bass loss cannot be told apart',
            needed: hasPairs(session) || session.taps.length === 1,
          },
        ]
      : [],
  );
}

/** Nothing but response-only tracks: enough for bands and steady bass, but a loss may be a limiter's. */
function fullTrack(of: {
  session: Session;
  measurements: readonly TapMeasurement[];
  findings: readonly Finding[];
}): Next[] {
  const { session, measurements, findings } = of;
  const outputs = session.taps.some((tap) => !isMicrophone(tap));
  if (measurements.length === 0 || measurements.some(({ ladders }) => ladders.length > 0)) return [];
  const highest = Math.max(...measurements.map(({ setting }) => setting));
  const undecided = findingsOf(findings, 'bass-change').some(({ reason }) => reason === NO_LOW_DRIVE);
  if (!outputs && !undecided) return [];
  return [
    {
      tapIds: [...new Set(measurements.map(({ tapId }) => tapId))],
      settings: [highest],
      why: undecided
        ? 'with the full track: whether a limiter or the volume takes the bass is not told by the response-only track, nor clipping and noise'
        : 'with the full track: the response-only track says nothing about clipping, limiters and noise',
      needed: undecided,
    },
  ];
}

/** A tap recorded at some settings only, whose bass goes another way than that of the tap with all of them. */
function unlikeTheFirst({ session, findings }: { session: Session; findings: readonly Finding[] }): Next[] {
  const changes = findingsOf(findings, 'bass-change');
  const settingsOf = (finding: BassChange) => finding.changes.map(({ setting }) => setting);
  const first = changes.reduce<BassChange | null>(
    (most, one) => (most === null || one.changes.length > most.changes.length ? one : most),
    null,
  );
  if (first === null) return [];
  return changes.flatMap((other) => {
    const without = session.settings.filter(
      (setting) => settingsOf(first).includes(setting) && !settingsOf(other).includes(setting),
    );
    const differsDb = largestDifferenceDb(first, other);
    return without.length === 0 || differsDb <= DIFFERS_DB
      ? []
      : [
          {
            tapIds: other.tapIds,
            settings: without,
            why: `its bass differs from ${first.tapIds.join(', ')} by ${differsDb.toFixed(1)} dB`,
            needed: true,
          },
        ];
  });
}

/** By more than both are uncertain, at the settings that both have. */
function largestDifferenceDb(one: BassChange, other: BassChange): number {
  const differences = one.changes.flatMap(({ setting, changeDb }) => {
    const same = other.changes.find((candidate) => candidate.setting === setting);
    return changeDb.map((value, at) => {
      const theirs = same?.changeDb[at];
      if (theirs === undefined || isNotMeasurable(value) || isNotMeasurable(theirs)) return 0;
      return Math.abs(value.value - theirs.value) - value.plusMinus - theirs.plusMinus;
    });
  });
  return Math.max(0, ...differences);
}

/** Taps whose arrival times compare with no other's; a recorder with one channel cannot do better. */
function unlinked({
  session,
  measurements,
}: {
  session: Session;
  measurements: readonly TapMeasurement[];
}): Next[] {
  if (!hasPairs(session)) return [];
  const groups = new Map<string, Set<string>>();
  for (const { tapId } of measurements) groups.set(tapId, new Set([tapId]));
  for (const one of measurements)
    for (const other of measurements)
      if (one.setting === other.setting && one.timeOrigin === other.timeOrigin) {
        const together = new Set([...groups.get(one.tapId)!, ...groups.get(other.tapId)!]);
        for (const tapId of together) groups.set(tapId, together);
      }
  const separate = [...new Set(groups.values())];
  if (separate.length < 2) return [];
  const [first, ...others] = separate.map((group) => [...group]);
  return others.map((group) => ({
    tapIds: [first[0], group[0]],
    settings: [],
    why: `arrival times of ${group.join(', ')} do not compare with ${first.join(', ')}: one linking take with one of each on the two channels`,
    needed: true,
  }));
}

function hasPairs({ recordings }: Session): boolean {
  return recordings.some(({ channels }) => channels.filter((tapId) => tapId !== null).length > 1);
}

function onsets({ findings }: { findings: readonly Finding[] }): Next[] {
  return findingsOf(findings, 'bass-change').flatMap(({ onset, recordNext: setting, tapIds }) =>
    onset === null || setting === null
      ? []
      : [
          {
            tapIds,
            settings: [setting],
            why: `the bass begins to fall somewhere between ${onset.lastIntact} and ${onset.firstChanged}`,
            needed: false,
          },
        ],
  );
}

function clipBracket({ findings }: { findings: readonly Finding[] }): Next[] {
  return findingsOf(findings, 'clipping').flatMap(
    ({ highestCleanRecorded: clean, firstClippingRecorded: clips, tapIds }) =>
      clean === null || clips === null || clips - clean <= 1
        ? []
        : [
            {
              tapIds,
              settings: [Math.floor((clean + clips) / 2)],
              why: `the output begins to clip somewhere between ${clean} and ${clips}`,
              needed: false,
            },
          ],
  );
}

/** One line for the same settings and the same reason, what is needed first. */
function merged(next: readonly Next[]): Next[] {
  const lines = new Map<string, Next>();
  for (const one of next) {
    const key = JSON.stringify([one.settings, one.why, one.needed]);
    const known = lines.get(key);
    lines.set(
      key,
      known === undefined ? one : { ...known, tapIds: [...new Set([...known.tapIds, ...one.tapIds])] },
    );
  }
  return [...lines.values()].sort((a, b) => Number(b.needed) - Number(a.needed));
}
