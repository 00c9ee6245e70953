import type { Sound } from '../audio/sound.ts';
import { isWild, wildSamples, withoutWildSamples } from '../audio/without-wild-samples.ts';
import { ratioOf } from '../dsp/decibels.ts';
import type { TakeFacts } from '../model/check.ts';
import { SteptoneError } from '../model/errors.ts';
import type { Reason } from '../model/reason.ts';
import type { Recording, Session, Tap } from '../model/session.ts';
import { findTracks } from '../takes/find-takes.ts';
import type { AbortedTrack } from '../takes/take.ts';
import { isStretched, trackStretch } from '../takes/track-stretch.ts';
import { whyNoTrack } from '../takes/why-no-track.ts';
import { counted } from '../words/figures.ts';
import { measureTake, type TakeMeasurement } from './measure-take.ts';
import type { RecorderKnowledge } from './recorder/measure-recorder.ts';
import { takeFacts, takePrint } from './take-facts.ts';
import { reserveFor, takeReader } from './take-reader.ts';

/** What the samples of one file say, whatever the other files say: plain data, which can be sent between threads. */
export interface RecordingReadings {
  readonly taps: readonly { readonly tap: Tap; readonly channel: number }[];
  /** One for each take. */
  readonly measured: readonly TakeMeasurement[];
  readonly facts: readonly TakeFacts[];
  /** Hiss by which the same recording is known again, one for each take. */
  readonly prints: readonly (Float32Array | null)[];
  readonly notes: readonly Reason[];
}

/**
 * Measures every take in one file: nearly all of the time that an analysis takes is spent here.
 *
 * @throws SteptoneError 'no-track' with what was there instead, 'session-field' where it has too few channels
 */
export function readRecording(of: {
  recording: Recording;
  session: Session;
  sound: Sound;
  recorder: RecorderKnowledge;
}): RecordingReadings {
  const channels = tapsOf(of.recording, of.session, of.sound).map(({ channel }) => channel);
  const read = readSound(of);
  if (read.facts.some(({ missingSections }) => missingSections.length > 0)) {
    const stretch = trackStretch(of.sound, channels);
    if (stretch !== null && isStretched(stretch))
      throw noTrack({ file: of.recording.file, sound: of.sound, channels });
  }
  if (read.facts.length > 0 && !read.facts.some(isBeyondRecorders)) return read;
  const wild = wildSamples(of.sound, channels);
  const mended = wild === null ? read : readSound({ ...of, sound: withoutWildSamples(of.sound) });
  if (mended.facts.length === 0) throw noTrack({ file: of.recording.file, sound: of.sound, channels });
  return wild === null ? mended : { ...mended, facts: mended.facts.map((facts) => ({ ...facts, wild })) };
}

function isBeyondRecorders({ channels }: TakeFacts): boolean {
  return channels.some(({ peakDbFs }) => isWild(ratioOf(peakDbFs)));
}

function readSound(of: {
  recording: Recording;
  session: Session;
  sound: Sound;
  recorder: RecorderKnowledge;
}): RecordingReadings {
  const { recording, session, sound, recorder } = of;
  const { file } = recording;
  const taps = tapsOf(recording, session, sound);
  const channels = taps.map(({ channel }) => channel);
  reserveFor(sound, channels);
  const found = findTracks(sound, channels);
  const recorderFloorDbFs = channels.map((channel) => recorder.floorDbFs.get(channel) ?? null);
  const readers = found.takes.map((take) => takeReader({ sound, take, channels }));
  const measured = readers.map((reader) => measureTake(reader, { recorderFloorDbFs }));
  return {
    taps,
    measured,
    facts: readers.map((reader, t) => takeFacts({ reader, file, taps, measured: measured[t] })),
    prints: readers.map(takePrint),
    notes: [...sound.notes, ...found.aborted.map(abortedNote)],
  };
}

function tapsOf(recording: Recording, session: Session, sound: Sound): { tap: Tap; channel: number }[] {
  if (recording.channels.length > sound.channelCount)
    throw new SteptoneError({
      code: 'session-field',
      expected: `${counted(recording.channels.length, 'channel')}, as in the session`,
      found: `${sound.channelCount}`,
      where: recording.file,
      likelyCause: 'the recorder ran with other channels, or the list belongs to another file',
      nextStep: 'correct this file’s channels in the session',
    });
  return recording.channels.flatMap((tapId, channel) => {
    const tap = session.taps.find(({ id }) => id === tapId);
    return tap === undefined ? [] : [{ tap, channel }];
  });
}

function noTrack({
  file,
  sound,
  channels,
}: {
  file: string;
  sound: Sound;
  channels: readonly number[];
}): SteptoneError {
  const { aborted } = findTracks(sound, channels);
  return new SteptoneError({
    code: 'no-track',
    expected: 'a recording of the test track',
    found: `no whole track in ${(sound.length / sound.sampleRateHz).toFixed(1)} s`,
    where: file,
    ...whyNoTrack({ sound, channels, aborted }),
  });
}

function abortedNote({ startSeconds, endSeconds }: AbortedTrack): Reason {
  return { code: 'track broken off', fromSeconds: startSeconds, toSeconds: endSeconds };
}
