import type { TakeFacts } from '../model/check.ts';
import { SteptoneError } from '../model/errors.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Reason } from '../model/reason.ts';
import type { Recording, Session } from '../model/session.ts';
import { type AssignedSettings, assignSettings, type KnownLevel } from '../takes/assign-settings.ts';
import { reasonText } from '../words/reason-text.ts';
import { falseStartNote, falseStarts } from './disturbances/false-starts.ts';
import type { ChannelMeasurement } from './measure-take.ts';
import type { RecordingReadings } from './read-recording.ts';
import { voltsPerFullScale } from './recorder/calibration.ts';
import { ladderWithoutRecorder } from './recorder/ladder-without-recorder.ts';
import type { RecorderKnowledge } from './recorder/measure-recorder.ts';
import { withoutRecorder } from './recorder/recorder-response.ts';

/** What one file gave. */
interface MeasuredRecording {
  /** A list of tap measurements a take. */
  readonly takes: readonly (readonly TapMeasurement[])[];
  /** The same takes, and those whose setting is none of the session's. */
  readonly facts: readonly TakeFacts[];
  readonly prints: readonly (Float32Array | null)[];
  readonly notes: readonly Reason[];
}

/**
 * Gives the takes of one file their settings and volts.
 *
 * @param readings what `readRecording` found in it
 * @param known levels of taps at their settings, from the files measured before: they tell settings where takes are
 *   missing or repeated
 * @throws SteptoneError 'settings' where it cannot be told which take is at which
 */
export function measureRecording(of: {
  recording: Recording;
  session: Session;
  readings: RecordingReadings;
  recorder: RecorderKnowledge;
  known?: ((tapId: string) => readonly KnownLevel[]) | undefined;
}): MeasuredRecording {
  const { recording, session, recorder } = of;
  const { file } = recording;
  const { taps, measured, facts, prints, notes } = withoutFalseStarts(of.readings);
  const { settings, doubt } = settingsOfTakes({ recording, facts, known: of.known });
  const takes = settings.flatMap((setting, t) =>
    setting === null
      ? []
      : byTimeOrigin(
          taps.map(({ tap, channel }, i): TapMeasurement => {
            const { takeStartSeconds } = facts[t];
            return {
              tapId: tap.id,
              setting,
              evidence: [{ file, channel: channel + 1, setting, takeStartSeconds }],
              timeOrigin: timeOriginOf(facts[t], i),
              ...withoutRecorderOf(measured[t].channels[i], recorder, channel),
              leadInExcessDb: facts[t].channels[i].leadInExcessDb,
              voltsPerFullScale: voltsPerFullScale({
                calibration: session.calibration,
                tap,
                toneLevel: recorder.toneLevel,
              }),
              supplyVolts: recording.supplyVolts ?? session.supply.volts,
              repeats: { count: 1, spreadDb: 0 },
            };
          }),
        ),
  );
  return {
    takes,
    facts: facts.map((fact, t) => ({ ...fact, setting: settings[t] })),
    prints,
    notes: [...notes, ...(doubt === null ? [] : [doubt])],
  };
}

function withoutFalseStarts({ taps, measured, facts, prints, notes }: RecordingReadings): RecordingReadings {
  const isFalse = falseStarts(facts);
  return {
    taps,
    measured: measured.filter((_, t) => !isFalse[t]),
    facts: facts.filter((_, t) => !isFalse[t]),
    prints: prints.filter((_, t) => !isFalse[t]),
    notes: [...notes, ...facts.filter((_, t) => isFalse[t]).map(falseStartNote)],
  };
}

/** Left and right are swept one after the other: without the ratio of the clocks their arrivals do not compare. */
function timeOriginOf({ file, takeStartSeconds, clockPpm, channels }: TakeFacts, i: number): string {
  const take = `${file} at ${takeStartSeconds} s`;
  return clockPpm === null ? `${take}, ${channels[i].carries}` : take;
}

function byTimeOrigin(take: readonly TapMeasurement[]): TapMeasurement[][] {
  const origins = [...new Set(take.map(({ timeOrigin }) => timeOrigin))];
  return origins.map((origin) => take.filter(({ timeOrigin }) => timeOrigin === origin));
}

function settingsOfTakes(of: {
  recording: Recording;
  facts: readonly TakeFacts[];
  known?: ((tapId: string) => readonly KnownLevel[]) | undefined;
}): AssignedSettings {
  const { recording, facts, known } = of;
  const i = tapToGoBy(facts, known);
  const answer = assignSettings({
    takes: facts.map(({ takeStartSeconds, channels }) => ({
      startSeconds: takeStartSeconds,
      levelDb: channels[i].levelDbFs,
      unsteady: isUnsteady(channels[i]),
    })),
    planned: recording.settings,
    known: known?.(facts[0].channels[i].tapId),
  });
  if (!('unclear' in answer)) return answer;
  throw new SteptoneError({
    code: 'settings',
    expected: `${recording.settings.length} takes, one for each setting that the session lists`,
    found: `${facts.length}, starting at ${facts.map(({ takeStartSeconds }) => takeStartSeconds.toFixed(1)).join(', ')} s; ${reasonText(answer.unclear)}`,
    where: recording.file,
    likelyCause: 'somebody left out, broke off or repeated a take',
    nextStep: 'list the settings of this file’s takes in the order you recorded them',
  });
}

/** The tap whose levels are known from elsewhere, or else the one that carries something in every take. */
function tapToGoBy(
  facts: readonly TakeFacts[],
  known: ((tapId: string) => readonly KnownLevel[]) | undefined,
): number {
  const channels = facts[0].channels.map((_, i) => i);
  const worth = (i: number) =>
    (known?.(facts[0].channels[i].tapId).length ?? 0) +
    (facts.every((fact) => fact.channels[i].levelDbFs !== null) ? 1000 : 0);
  return channels.reduce((best, i) => (worth(i) > worth(best) ? i : best), 0);
}

/** More than this between the opening and the closing sweep, or along the ladder, and a level tells no setting. */
const UNSTEADY_DB = 0.5;

function isUnsteady({ gainChangeDb, ladderSpreadDb }: TakeFacts['channels'][number]): boolean {
  return (
    (gainChangeDb !== null && Math.abs(gainChangeDb.value) > UNSTEADY_DB + gainChangeDb.plusMinus) ||
    (ladderSpreadDb !== null && ladderSpreadDb > UNSTEADY_DB)
  );
}

function withoutRecorderOf(
  one: ChannelMeasurement,
  recorder: RecorderKnowledge,
  channel: number,
): ChannelMeasurement {
  const shape = recorder.response.get(channel) ?? null;
  if (shape === null) return one;
  return {
    ...one,
    recorder: { ...one.recorder, dividedOut: true },
    left: withoutRecorder(one.left, shape),
    right: withoutRecorder(one.right, shape),
    bothLowDrive: one.bothLowDrive === null ? null : withoutRecorder(one.bothLowDrive, shape),
    ladders: one.ladders.map((ladder) => ladderWithoutRecorder(ladder, shape)),
  };
}
