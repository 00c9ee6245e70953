import type { Sound } from '../audio/sound.ts';
import type { TakeFacts } from '../model/check.ts';
import { SteptoneError } from '../model/errors.ts';
import type { Recording, Session, Tap } from '../model/session.ts';
import { type AbortedTrack, findTracks } from '../takes/find-takes.ts';
import { whyNoTrack } from '../takes/why-no-track.ts';
import { measureTake, type TakeMeasurement } from './measure-take.ts';
import type { RecorderKnowledge } from './recorder/measure-recorder.ts';
import { takeFacts } from './take-facts.ts';
import { reserveFor, takeReader } from './take-reader.ts';

/** What the samples of one file say, whatever the other files say: plain data, which can be sent between threads. */
export interface RecordingReadings {
  readonly taps: readonly { readonly tap: Tap; readonly channel: number }[];
  /** One for each take. */
  readonly measured: readonly TakeMeasurement[];
  readonly facts: readonly TakeFacts[];
  readonly notes: readonly string[];
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
  const { recording, session, sound, recorder } = of;
  const { file } = recording;
  const taps = tapsOf(recording, session, sound);
  const channels = taps.map(({ channel }) => channel);
  reserveFor(sound, channels);
  const found = findTracks(sound, channels);
  if (found.takes.length === 0) throw noTrack({ file, sound, channels, aborted: found.aborted });
  const recorderFloorDbFs = channels.map((channel) => recorder.floorDbFs.get(channel) ?? null);
  const readers = found.takes.map((take) => takeReader({ sound, take, channels }));
  const measured = readers.map((reader) => measureTake(reader, { recorderFloorDbFs }));
  return {
    taps,
    measured,
    facts: readers.map((reader, t) => takeFacts({ reader, file, taps, measured: measured[t] })),
    notes: [...sound.notes, ...found.aborted.map(abortedText)],
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
