import { availableParallelism } from 'node:os';
import { setImmediate as otherWork } from 'node:timers/promises';
import { Worker } from 'node:worker_threads';
import { isWide } from '../src/commands/is-wide.ts';
import type { LoadedSession } from '../src/commands/load-session.ts';
import type { OpenRecordings } from '../src/commands/open-recordings.ts';
import type { Progress } from '../src/commands/progress.ts';
import { type FileAnswer, printsIn, readingsIn } from '../src/commands/read-one.ts';
import type { ReadInThreads } from '../src/commands/shell.ts';
import type { RecorderKnowledge } from '../src/measure/recorder/measure-recorder.ts';
import type { SharedWork } from './read-next.ts';

/** A second thread compiles the code anew, which takes longer than it reads two or three files (`npm run bench`). */
const FEWEST_RECORDINGS = 4;
/** Small, so that sections that were read are given back soon: both threads stay below 400 MB (`npm run bench`). */
const YOUNG_GENERATION_MB = 6;

/**
 * Reads the recordings of a session in two threads, this one and a worker, file by file. More would need more memory and
 * meet the disk's limits. The results are those of one thread to the last bit, since every file is read by itself.
 *
 * @returns undefined where threads do not pay or cannot be had: few recordings, very wide ones, one processor, or sources
 *   that are run without having been compiled
 */
export async function readAhead(of: {
  loaded: LoadedSession;
  recordings: OpenRecordings;
  progress: Progress;
  withFingerprints: boolean;
}): Promise<ReadInThreads | undefined> {
  const { loaded, recordings, progress, withFingerprints } = of;
  const { session } = loaded;
  const files = session.recordings.filter(({ kind }) => kind === 'takes').map(({ file }) => file);
  const isCompiled = import.meta.url.endsWith('.js');
  if (!isCompiled || availableParallelism() < 2 || files.length < FEWEST_RECORDINGS) return undefined;
  if (isWide(files[0], recordings)) return undefined;

  const answers = new Map<string, FileAnswer>();
  const take = (answer: FileAnswer) => {
    progress(answers.size, files.length, answer.file);
    answers.set(answer.file, answer);
  };
  const next = new Int32Array(new SharedArrayBuffer(4));
  const work: SharedWork = { session, folder: loaded.folder.name, files, next, withFingerprints };
  // At once, so that it loads its code while this thread does and looks at the recorder.
  const worker = new Worker(new URL('./read-worker.js', import.meta.url), {
    workerData: work,
    resourceLimits: { maxYoungGenerationSizeMb: YOUNG_GENERATION_MB },
  });
  try {
    const here = async () => {
      const { measureRecorder } = await import('../src/measure/recorder/measure-recorder.ts');
      const recorder = measureRecorder({ session, open: recordings.open });
      worker.postMessage(recorder);
      await allHere(work, recorder, take);
      return recorder;
    };
    const [recorder] = await Promise.all([here(), allOfWorker(worker, take)]);
    return { recorder, readings: (file) => readingsIn(answers.get(file)), fingerprints: printsIn(answers) };
  } finally {
    (await import('../src/dsp/kernels/kernel-arrays.ts')).releaseKernelMemory();
    await worker.terminate();
  }
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
async function allHere(
  work: SharedWork,
  recorder: RecorderKnowledge,
  take: (answer: FileAnswer) => void,
): Promise<void> {
  const { readNext } = await import('./read-next.ts');
  for (let answer = readNext(work, recorder); answer !== null; answer = readNext(work, recorder)) {
    take(answer);
    await otherWork();
  }
}
