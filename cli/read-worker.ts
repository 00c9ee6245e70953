import { parentPort, workerData } from 'node:worker_threads';
import { readNext, type SharedWork } from './read-one.ts';

/** The second thread of `readAhead`: reads recordings until none is left, and sends what each holds. */
const work = workerData as SharedWork;
for (let answer = readNext(work); answer !== null; answer = readNext(work)) parentPort?.postMessage(answer);
