import { type RecordingReadings, readRecording } from '../src/measure/read-recording.ts';
import type { RecorderKnowledge } from '../src/measure/recorder/measure-recorder.ts';
import { type ErrorParts, SteptoneError } from '../src/model/errors.ts';
import type { LoadedSession } from './load-session.ts';
import { type Fingerprint, type OpenRecordings, openRecordings } from './open-recordings.ts';

/** What one file gave: plain data, which can be sent between threads. */
export type FileAnswer = { readonly file: string; readonly fingerprint: Fingerprint | undefined } & (
  | { readonly readings: RecordingReadings }
  | { readonly unusable: ErrorParts }
  | { readonly fault: Error }
);

/** What every thread is given; `next` is shared by all and counts the files that are taken. */
export interface SharedWork {
  readonly loaded: LoadedSession;
  readonly files: readonly string[];
  readonly next: Int32Array;
  readonly withFingerprints: boolean;
}

/** Reads the next file that no thread has taken; null where there is none left. */
export function readNext(work: SharedWork, recorder: RecorderKnowledge): FileAnswer | null {
  const { loaded, files, next } = work;
  const file = files[Atomics.add(next, 0, 1)];
  if (file === undefined) return null;
  const recordings = openRecordings(loaded);
  try {
    const fingerprint = work.withFingerprints ? recordings.fingerprint(file) : undefined;
    return { file, fingerprint, ...readingsOf(file, { loaded, recordings, recorder }) };
  } finally {
    recordings.close();
  }
}

function readingsOf(
  file: string,
  of: { loaded: LoadedSession; recordings: OpenRecordings; recorder: RecorderKnowledge },
): { readings: RecordingReadings } | { unusable: ErrorParts } | { fault: Error } {
  const { recordings, recorder } = of;
  const { session } = of.loaded;
  try {
    const recording = session.recordings.find((candidate) => candidate.file === file)!;
    return { readings: readRecording({ recording, session, sound: recordings.open(file), recorder }) };
  } catch (error) {
    if (error instanceof SteptoneError) return { unusable: error.parts };
    return { fault: error instanceof Error ? error : new Error(String(error)) };
  }
}
