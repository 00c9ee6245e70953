import { availableParallelism } from 'node:os';
import { setImmediate as otherWork } from 'node:timers/promises';
import { Worker } from 'node:worker_threads';
import type { ReadAhead } from '../src/measure/measure-session.ts';
import { SteptoneError } from '../src/model/errors.ts';
import type { LoadedSession } from './load-session.ts';
import type { OpenRecordings } from './open-recordings.ts';
import type { FileAnswer, SharedWork } from './read-one.ts';
import type { Progress } from './terminal.ts';

/** A second thread compiles the code anew, which takes longer than it reads two or three files (`npm run bench`). */
const FEWEST_RECORDINGS = 4;
/** Small, so that sections that were read are given back soon: both threads stay below 400 MB (`npm run bench`). */
const YOUNG_GENERATION_MB = 6;

/**
 * Reads the recordings of a session in two threads, this one and a worker, file by file. More would need more memory and
 * meet the disk's limits. The results are those of one thread to the last bit, since every file is read by itself.
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
  const isCompiled = import.meta.url.endsWith('.js');
  if (!isCompiled || availableParallelism() < 2 || files.length < FEWEST_RECORDINGS) return undefined;

  const { measureRecorder } = await import('../src/measure/measure-recorder.ts');
  const recorder = measureRecorder({ session, open: recordings.open });
  const answers = new Map<string, FileAnswer>();
  const take = (answer: FileAnswer) => {
    progress(answers.size, files.length, answer.file);
    answers.set(answer.file, answer);
  };
  const work: SharedWork = { loaded, recorder, files, next: new Int32Array(new SharedArrayBuffer(4)) };
  const worker = new Worker(new URL('./read-worker.js', import.meta.url), {
    workerData: work,
    resourceLimits: { maxYoungGenerationSizeMb: YOUNG_GENERATION_MB },
  });
  try {
    await Promise.all([allOfWorker(worker, take), allHere(work, take)]);
  } finally {
    await worker.terminate();
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

/** What the worker reads, until no file is left. */
function allOfWorker(worker: Worker, take: (answer: FileAnswer) => void): Promise<void> {
  worker.on('message', take);
  return new Promise((done, fail) => {
    worker.on('error', fail);
    worker.on('exit', (code) => {
      if (code === 0) done();
      else fail(new Error('a worker thread ended before its work was done'));
    });
  });
}

/** The same in this thread, which hears of the worker between two files. */
async function allHere(work: SharedWork, take: (answer: FileAnswer) => void): Promise<void> {
  const { readNext } = await import('./read-one.ts');
  for (let answer = readNext(work); answer !== null; answer = readNext(work)) {
    take(answer);
    await otherWork();
  }
}
