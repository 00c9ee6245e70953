import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { ReadAhead } from '../src/measure/measure-session.ts';
import type { RecordingReadings } from '../src/measure/read-recording.ts';
import { type ErrorParts, SteptoneError } from '../src/model/errors.ts';
import type { LoadedSession } from './load-session.ts';
import type { OpenRecordings } from './open-recordings.ts';
import type { Progress } from './terminal.ts';

/** What a worker sends for one file. */
export type WorkerAnswer =
  | { readonly file: string; readonly readings: RecordingReadings }
  | { readonly file: string; readonly unusable: ErrorParts }
  | { readonly file: string; readonly fault: Error };

/** Each thread compiles the code anew, which takes longer than it reads two or three files (`npm run bench`). */
const FEWEST_RECORDINGS = 4;
/** Two threads are 1.8 times as fast as one; more would need more memory and meet the disk's limits. */
const MOST_THREADS = 2;
/** Small, so that sections that were read are given back soon: together the threads stay below 400 MB (`npm run bench`). */
const YOUNG_GENERATION_MB = 6;

/**
 * Reads the recordings of a session in worker threads, file by file. The results are those of one thread to the last bit,
 * since every file is read by itself.
 *
 * @returns undefined where threads do not pay or cannot be had: few recordings, one processor, or sources that are run
 *   without having been compiled
 */
export async function readAhead(of: {
  loaded: LoadedSession;
  recordings: OpenRecordings;
  progress: Progress;
}): Promise<ReadAhead | undefined> {
  const { loaded, recordings, progress } = of;
  const { session } = loaded;
  const files = session.recordings.filter(({ kind }) => kind === 'takes').map(({ file }) => file);
  const threads = Math.min(MOST_THREADS, availableParallelism());
  const isCompiled = import.meta.url.endsWith('.js');
  if (!isCompiled || threads < 2 || files.length < FEWEST_RECORDINGS) return undefined;

  const { measureRecorder } = await import('../src/measure/measure-recorder.ts');
  const recorder = measureRecorder({ session, open: recordings.open });
  const answers = new Map<string, WorkerAnswer>();
  const waiting = [...files];
  const workers = Array.from(
    { length: threads },
    () =>
      new Worker(new URL('./read-worker.js', import.meta.url), {
        workerData: { loaded, recorder },
        resourceLimits: { maxYoungGenerationSizeMb: YOUNG_GENERATION_MB },
      }),
  );
  try {
    await Promise.all(
      workers.map((worker) =>
        everyAnswer({
          worker,
          next: () => waiting.shift(),
          take(answer) {
            progress(answers.size, files.length, answer.file);
            answers.set(answer.file, answer);
          },
        }),
      ),
    );
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
  return {
    recorder,
    readings(file) {
      const answer = answers.get(file);
      if (answer === undefined) return null;
      if ('readings' in answer) return answer.readings;
      throw 'unusable' in answer ? new SteptoneError(answer.unusable) : answer.fault;
    },
  };
}

/** Gives a worker one file after another, until there are no more. */
function everyAnswer(of: {
  worker: Worker;
  next: () => string | undefined;
  take: (answer: WorkerAnswer) => void;
}): Promise<void> {
  const { worker, next, take } = of;
  return new Promise((done, fail) => {
    const ask = () => {
      const file = next();
      if (file === undefined) done();
      else worker.postMessage(file);
    };
    worker.on('message', (answer: WorkerAnswer) => {
      take(answer);
      ask();
    });
    worker.on('error', fail);
    worker.on('exit', () => fail(new Error('a worker thread ended before its work was done')));
    ask();
  });
}
