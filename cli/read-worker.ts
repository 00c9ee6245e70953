import { parentPort, workerData } from 'node:worker_threads';
import type { RecorderKnowledge } from '../src/measure/measure-recorder.ts';
import { readRecording } from '../src/measure/read-recording.ts';
import { SteptoneError } from '../src/model/errors.ts';
import type { LoadedSession } from './load-session.ts';
import { openRecordings } from './open-recordings.ts';
import type { WorkerAnswer } from './read-ahead.ts';

const { loaded, recorder } = workerData as { loaded: LoadedSession; recorder: RecorderKnowledge };
const { session } = loaded;

/** A thread of `readAhead`: takes names of recordings, one at a time, and answers with what they hold. */
parentPort?.on('message', (file: string) => {
  parentPort?.postMessage(answerFor(file));
});

function answerFor(file: string): WorkerAnswer {
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
