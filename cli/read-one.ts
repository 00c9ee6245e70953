import type { RecorderKnowledge } from '../src/measure/measure-recorder.ts';
import { type RecordingReadings, readRecording } from '../src/measure/read-recording.ts';
import { type ErrorParts, SteptoneError } from '../src/model/errors.ts';
import type { LoadedSession } from './load-session.ts';
import { openRecordings } from './open-recordings.ts';

/** What one file gave: plain data, which can be sent between threads. */
export type FileAnswer =
  | { readonly file: string; readonly readings: RecordingReadings }
  | { readonly file: string; readonly unusable: ErrorParts }
  | { readonly file: string; readonly fault: Error };

/** What every thread is given; `next` is shared by all and counts the files that are taken. */
export interface SharedWork {
  readonly loaded: LoadedSession;
  readonly recorder: RecorderKnowledge;
  readonly files: readonly string[];
  readonly next: Int32Array;
}

/** Reads the next file that no thread has taken; null where there is none left. */
export function readNext({ loaded, recorder, files, next }: SharedWork): FileAnswer | null {
  const file = files[Atomics.add(next, 0, 1)];
  if (file === undefined) return null;
  const { session } = loaded;
  const recordings = openRecordings(loaded);
  try {
    const recording = session.recordings.find((candidate) => candidate.file === file)!;
    return { file, readings: readRecording({ recording, session, sound: recordings.open(file), recorder }) };
  } catch (error) {
    if (error instanceof SteptoneError) return { file, unusable: error.parts };
    return { file, fault: error instanceof Error ? error : new Error(String(error)) };
  } finally {
    recordings.close();
  }
}
