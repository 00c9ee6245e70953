import { awaitsReference } from '../findings/bass/awaits-reference.ts';
import { NO_FULL_RANGE_TAP } from '../findings/bass/bass-levels.ts';
import { NO_LOW_DRIVE } from '../findings/bass/bass-onset.ts';
import { loneLossOf } from '../findings/bass/lone-loss.ts';
import { isMicrophone } from '../findings/withheld/microphone.ts';
import type { Check, TakeToRecord } from '../model/check.ts';
import { settingBetween } from '../model/clipping-findings.ts';
import { type Finding, type FindingOf, findingsOf } from '../model/finding.ts';
import { isNotMeasurable } from '../model/measured.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import { isSameReason } from '../model/reason.ts';
import type { Session } from '../model/session.ts';
import { recorderDoubts } from './recorder-doubts.ts';

type Next = TakeToRecord;
type BassChange = FindingOf<'bass-change'>;

/** A plateau, and so any statement about bass, needs three settings. */
const FEWEST_SETTINGS = 3;
/** More settings only where a pair differs from the first by over this (common practice). */
const DIFFERS_DB = 0.5;

/** What to record while the dash is open, what it cannot be closed without first. */
export function takesToRecord(of: {
  session: Session;
  measurements: readonly TapMeasurement[];
  findings: readonly Finding[];
  missing: Check['missing'];
  /** Files that could not be used. */
  unread?: readonly string[];
}): Next[] {
  const next = [
    ...missingTakes(of),
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

/** A file that could not be read and a take that cannot be used are different work: the one may only need another card. */
function missingTakes({
  session,
  missing,
  unread = [],
}: {
  session: Session;
  missing: Check['missing'];
  unread?: readonly string[];
}): Next[] {
  return missing.flatMap(({ tapId, settings }) => {
    const fileOf = (setting: number) =>
      session.recordings.find(
        ({ file, channels, settings: at }) =>
          unread.includes(file) && channels.includes(tapId) && at.includes(setting),
      )?.file;
    const lost = settings.filter((setting) => fileOf(setting) !== undefined);
    const others = settings.filter((setting) => !lost.includes(setting));
    const next = (at: number[], why: Next['why']) =>
      at.length === 0 ? [] : [{ tapIds: [tapId], settings: at, why, needed: true }];
    return [
      ...next(others, { code: 'no usable take' }),
      ...next(lost, { code: 'take not read', files: [...new Set(lost.map((setting) => fileOf(setting)!))] }),
    ];
  });
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
          why: { code: 'too few settings', count: settings.size },
          needed: true,
        },
      ];
}

/** Also where a loss is plain and only how much is open: nothing is restored or set by a minimum. */
function undecidedBass({ findings }: { findings: readonly Finding[] }): Next[] {
  return findingsOf(findings, 'bass-change').flatMap((finding) => {
    const { verdict, plateauSettings, recordNext: setting, tapIds, reason } = finding;
    return (verdict === 'cannot be told' || plateauSettings.length === 0) && setting !== null
      ? [
          {
            tapIds,
            settings: [setting],
            why: { code: 'bass cannot be judged yet' },
            because: reason ?? { code: 'no three settings agree' },
            needed: verdict === 'cannot be told' || awaitsReference(finding, findings),
          },
        ]
      : [];
  });
}

/** A subwoofer output recorded by itself; a recorder with one channel cannot do better. */
function subwooferAlone({ session, findings }: { session: Session; findings: readonly Finding[] }): Next[] {
  return findingsOf(findings, 'bass-change').flatMap(({ reason, tapIds }) =>
    reason !== null && isSameReason(reason, NO_FULL_RANGE_TAP)
      ? [
          {
            tapIds,
            settings: [],
            why: { code: 'bass needs a full-range output beside it' },
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
  const undecided = findingsOf(findings, 'bass-change').some(
    ({ reason }) => reason !== null && isSameReason(reason, NO_LOW_DRIVE),
  );
  if (!outputs && !undecided) return [];
  return [
    {
      tapIds: [...new Set(measurements.map(({ tapId }) => tapId))],
      settings: [highest],
      why: {
        code: undecided
          ? 'limiter or volume not known without the full track'
          : 'clipping and noise not known without the full track',
      },
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
            why: { code: 'bass differs from another output', tapIds: first.tapIds, differsDb },
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
    why: { code: 'arrivals do not compare', tapIds: group, withTapIds: first },
    needed: true,
  }));
}

function hasPairs({ recordings }: Session): boolean {
  return recordings.some(({ channels }) => channels.filter((tapId) => tapId !== null).length > 1);
}

function onsets({ findings }: { findings: readonly Finding[] }): Next[] {
  return findingsOf(findings, 'bass-change').flatMap((finding) => {
    const { onset, plateauSettings, recordNext: setting, tapIds } = finding;
    const lone = loneLossOf(finding);
    return onset === null || setting === null || plateauSettings.length === 0
      ? []
      : [
          {
            tapIds,
            settings: [setting],
            why: {
              code: 'bass begins to fall between',
              lastIntact: onset.lastIntact,
              firstChanged: onset.firstChanged,
            },
            ...(lone === null ? {} : { because: lone }),
            needed: lone !== null,
          },
        ];
  });
}

function clipBracket({ findings }: { findings: readonly Finding[] }): Next[] {
  return findingsOf(findings, 'clean-settings').flatMap(
    ({
      highestCleanRecorded: clean,
      firstClippingRecorded: clips,
      highestCleanComputed: computed,
      tapIds,
    }) => {
      const between = clean === null || clips === null ? null : settingBetween({ clean, clips, computed });
      return between === null
        ? []
        : [
            {
              tapIds,
              settings: [between],
              why: { code: 'clipping begins between', clean: clean!, clips: clips! },
              needed: false,
            },
          ];
    },
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
