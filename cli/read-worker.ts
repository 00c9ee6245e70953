import { parentPort, workerData } from 'node:worker_threads';
import type { RecorderKnowledge } from '../src/measure/recorder/measure-recorder.ts';
import { readNext, type SharedWork } from './read-next.ts';

/**
 * The second thread of `readAhead`: once it is told what is known of the recorder, reads recordings until none is left,
 * and sends what each holds.
 */
const work = workerData as SharedWork;
parentPort?.once('message', (recorder: RecorderKnowledge) => {
  for (let answer = readNext(work, recorder); answer !== null; answer = readNext(work, recorder))
    parentPort?.postMessage(answer);
});
