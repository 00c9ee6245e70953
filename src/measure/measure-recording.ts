import type { Sound } from '../audio/sound.ts';
import type { TakeFacts } from '../model/check.ts';
import { SteptoneError } from '../model/errors.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Recording, Session, Tap } from '../model/session.ts';
import { type AssignedSettings, assignSettings, type KnownLevel } from '../takes/assign-settings.ts';
import { type AbortedTrack, findTracks } from '../takes/find-takes.ts';
import { whyNoTrack } from '../takes/why-no-track.ts';
import { voltsPerFullScale } from './calibration.ts';
import type { RecorderKnowledge } from './measure-recorder.ts';
import { type ChannelMeasurement, measureTake } from './measure-take.ts';
import { withoutRecorder } from './recorder-response.ts';
import { takeFacts } from './take-facts.ts';

/** What one file gave. */
export interface MeasuredRecording {
  /** A list of tap measurements a take. */
  readonly takes: readonly (readonly TapMeasurement[])[];
  /** The same takes, and those whose setting is none of the session's. */
  readonly facts: readonly TakeFacts[];
  readonly notes: readonly string[];
}

/**
 * Measures every take in one file.
 *
 * @param known levels of taps at their settings, from the files measured before: they tell settings where takes are
 *   missing or repeated
 * @throws SteptoneError 'no-track' with what was there instead, 'settings' where it cannot be told which take is at which
 */
export function measureRecording(of: {
  recording: Recording;
  session: Session;
  sound: Sound;
  recorder: RecorderKnowledge;
  known?: (tapId: string) => readonly KnownLevel[];
}): MeasuredRecording {
  const { recording, session, sound, recorder } = of;
  const { file } = recording;
  const taps = tapsOf(recording, session, sound);
  const channels = taps.map(({ channel }) => channel);
  const found = findTracks(sound, channels);
  if (found.takes.length === 0) throw noTrack({ file, sound, channels, aborted: found.aborted });
  const recorderFloorDbFs = channels.map((channel) => recorder.floorDbFs.get(channel) ?? null);
  const measured = found.takes.map((take) => measureTake({ sound, take, channels, recorderFloorDbFs }));
  const facts = found.takes.map((take, t) => takeFacts({ sound, take, file, taps, measured: measured[t] }));
  const { settings, doubt } = settingsOfTakes({ recording, facts, known: of.known });
  const takes = settings.flatMap((setting, t) =>
    setting === null
      ? []
      : [
          taps.map(({ tap, channel }, i): TapMeasurement => {
            const { takeStartSeconds } = facts[t];
            return {
              tapId: tap.id,
              setting,
              evidence: [{ file, channel: channel + 1, setting, takeStartSeconds }],
              timeOrigin: `${file} at ${takeStartSeconds} s`,
              ...withoutRecorderOf(measured[t].channels[i], recorder, channel),
              voltsPerFullScale: voltsPerFullScale({
                calibration: session.calibration,
                tap,
                toneLevel: recorder.toneLevel,
              }),
              supplyVolts: recording.supplyVolts ?? session.supply.volts,
              repeats: { count: 1, spreadDb: 0 },
            };
          }),
        ],
  );
  return {
    takes,
    facts: facts.map((fact, t) => ({ ...fact, setting: settings[t] })),
    notes: [...sound.notes, ...found.aborted.map(abortedText), ...(doubt === null ? [] : [doubt])],
  };
}

function tapsOf(recording: Recording, session: Session, sound: Sound): { tap: Tap; channel: number }[] {
  if (recording.channels.length > sound.channelCount)
    throw new SteptoneError({
      code: 'session-field',
      expected: `${recording.channels.length} channels, as the session lists`,
      found: `${sound.channelCount}`,
      where: recording.file,
      likelyCause: 'the recorder was set to fewer channels, or the list belongs to another file',
      nextStep: 'correct the list of channels for this file in the session',
    });
  return recording.channels.flatMap((tapId, channel) => {
    const tap = session.taps.find(({ id }) => id === tapId);
    return tap === undefined ? [] : [{ tap, channel }];
  });
}

function noTrack(of: {
  file: string;
  sound: Sound;
  channels: readonly number[];
  aborted: readonly AbortedTrack[];
}): SteptoneError {
  const { file, sound } = of;
  return new SteptoneError({
    code: 'no-track',
    expected: 'a recording of the test track',
    found: `no whole track in ${(sound.length / sound.sampleRateHz).toFixed(1)} s`,
    where: file,
    ...whyNoTrack(of),
  });
}

function abortedText({ startSeconds, endSeconds }: AbortedTrack): string {
  return `a track that begins at ${startSeconds.toFixed(1)} s is broken off at ${endSeconds.toFixed(1)} s: it is not used`;
}

function settingsOfTakes(of: {
  recording: Recording;
  facts: readonly TakeFacts[];
  known?: (tapId: string) => readonly KnownLevel[];
}): AssignedSettings {
  const { recording, facts, known } = of;
  const i = tapToGoBy(facts, known);
  const answer = assignSettings({
    takes: facts.map(({ takeStartSeconds, channels }) => ({
      startSeconds: takeStartSeconds,
      levelDb: channels[i].levelDbFs ?? NO_LEVEL_DB,
      unsteady: isUnsteady(channels[i]),
    })),
    planned: recording.settings,
    known: known?.(facts[0].channels[i].tapId),
  });
  if (!('unclear' in answer)) return answer;
  throw new SteptoneError({
    code: 'settings',
    expected: `${recording.settings.length} takes, one for each setting that the session lists`,
    found: `${facts.length}, starting at ${facts.map(({ takeStartSeconds }) => takeStartSeconds.toFixed(1)).join(', ')} s; ${answer.unclear}`,
    where: recording.file,
    likelyCause: 'a take was left out, broken off or repeated',
    nextStep: 'list the settings of the takes that are in this file, in the order of time',
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

const NO_LEVEL_DB = -200;
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
  return {
    ...one,
    left: withoutRecorder(one.left, shape),
    right: withoutRecorder(one.right, shape),
    bothLowDrive: one.bothLowDrive === null ? null : withoutRecorder(one.bothLowDrive, shape),
  };
}
