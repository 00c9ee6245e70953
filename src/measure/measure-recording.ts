import type { Sound } from '../audio/sound.ts';
import { SteptoneError } from '../model/errors.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Recording, Session, Tap } from '../model/session.ts';
import { findTakes, type Take } from '../takes/find-takes.ts';
import { voltsPerFullScale } from './calibration.ts';
import type { RecorderKnowledge } from './measure-recorder.ts';
import { type ChannelMeasurement, measureTake } from './measure-take.ts';
import { withoutRecorder } from './recorder-response.ts';

/** Measures every take in one file: a list of tap measurements a take, with remarks about the file. */
export function measureRecording(of: {
  recording: Recording;
  session: Session;
  sound: Sound;
  recorder: RecorderKnowledge;
}): { takes: TapMeasurement[][]; notes: string[] } {
  const { recording, session, sound, recorder } = of;
  const taps = tapsOf(recording, session, sound);
  const channels = taps.map(({ channel }) => channel);
  const found = findTakes(sound, channels);
  const settings = settingsOfTakes(recording, found, sound);
  const recorderFloorDbFs = channels.map((channel) => recorder.floorDbFs.get(channel) ?? null);
  const takes = found.map((take, t) => {
    const measured = measureTake({ sound, take, channels, recorderFloorDbFs });
    return taps.map(({ tap, channel }, i) => {
      const one = withoutRecorderOf(measured.channels[i], recorder, channel);
      const takeStartSeconds = Number(take.startSeconds.toFixed(3));
      return {
        tapId: tap.id,
        setting: settings[t],
        evidence: [{ file: recording.file, channel: channel + 1, setting: settings[t], takeStartSeconds }],
        timeOrigin: `${recording.file} at ${takeStartSeconds} s`,
        ...one,
        voltsPerFullScale: voltsPerFullScale({
          calibration: session.calibration,
          tap,
          toneLevel: recorder.toneLevel,
        }),
        supplyVolts: recording.supplyVolts ?? session.supply.volts,
        repeats: { count: 1, spreadDb: 0 },
      };
    });
  });
  return { takes, notes: [...sound.notes] };
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

/** One setting for a file means that every take in it is a repeat at that setting; several go by order. */
function settingsOfTakes(recording: Recording, takes: readonly Take[], sound: Sound): number[] {
  const { settings, file } = recording;
  if (takes.length === 0)
    throw new SteptoneError({
      code: 'no-track',
      expected: 'a recording of the test track',
      found: `no whole track in ${(sound.length / sound.sampleRateHz).toFixed(1)} s`,
      where: file,
      likelyCause: 'another file, a recording that was stopped early, or nothing connected',
      nextStep: 'listen to the file, then record this take again',
    });
  if (settings.length === 1) return takes.map(() => settings[0]);
  if (settings.length !== takes.length)
    throw new SteptoneError({
      code: 'settings',
      expected: `${settings.length} takes, one for each setting that the session lists`,
      found: `${takes.length}, starting at ${takes.map(({ startSeconds }) => startSeconds.toFixed(1)).join(', ')} s`,
      where: file,
      likelyCause: 'a take was stopped early or repeated',
      nextStep: 'list the settings of the takes that are in this file, in order',
    });
  return [...settings];
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
