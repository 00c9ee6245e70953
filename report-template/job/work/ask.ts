import { type ErrorParts, SteptoneError } from '../../../src/model/errors.ts';
import type { ReportAssets } from '../../../src/report/report-assets.ts';
import type { Tasks } from './tasks.ts';

export interface Asked {
  readonly id: number;
  readonly task: keyof Tasks;
  readonly input: unknown;
  readonly files: ReadonlyMap<string, Blob>;
  readonly inside: string;
  /** Of the worker itself: only who made an address from it may start a helper at that address. */
  readonly script: Blob;
  /** Only with tasks that make a report. */
  readonly assets: Omit<ReportAssets, 'sha256Base64'> | null;
}

export interface Progress {
  readonly done: number;
  readonly total: number;
  readonly what: string;
}

export type Answer = { readonly id: number } & (
  | { readonly progress: Progress }
  | { readonly done: unknown }
  | { readonly failed: ErrorParts | { readonly fault: string } }
);

/** Work was stopped by hand. */
export class Stopped extends Error {}

const MAKES_REPORT: ReadonlySet<string> = new Set(['analyse', 'replan']);
/** A take that is being recorded waits for no analysis, and nobody stops it with one. */
const OF_A_TAKE: ReadonlySet<string> = new Set(['heardTake', 'wav', 'checkTake']);
const NO_FILES: ReadonlyMap<string, Blob> = new Map();
let script: Blob | null = null;
let lastId = 0;

/** A worker, started when it is first needed. */
interface Bench {
  worker: Worker | null;
  /** Who waits for it. */
  readonly waiting: Map<number, { answer: (one: Answer) => void; stop: (why: Error) => void }>;
}

const takes: Bench = { worker: null, waiting: new Map() };
const commands: Bench = { worker: null, waiting: new Map() };

/**
 * Has a worker do a task, so that the page never stands still.
 *
 * @throws SteptoneError as the task does; `Stopped` where it was stopped; Error for a fault of the tool
 */
export function ask<Name extends keyof Tasks>(
  task: Name,
  input: Parameters<Tasks[Name]>[0],
  {
    files = NO_FILES,
    inside = '',
    onProgress,
  }: { files?: ReadonlyMap<string, Blob>; inside?: string; onProgress?: (progress: Progress) => void } = {},
): Promise<Awaited<ReturnType<Tasks[Name]>>> {
  const id = ++lastId;
  const bench = OF_A_TAKE.has(task) ? takes : commands;
  return new Promise((done, fail) => {
    bench.waiting.set(id, {
      stop: fail,
      answer(one) {
        if ('progress' in one) return onProgress?.(one.progress);
        bench.waiting.delete(id);
        if ('done' in one) return done(one.done as Awaited<ReturnType<Tasks[Name]>>);
        fail('fault' in one.failed ? new Error(one.failed.fault) : new SteptoneError(one.failed));
      },
    });
    const assets: Asked['assets'] = MAKES_REPORT.has(task) ? embedded('report-assets') : null;
    const worker = running(bench);
    const asked: Asked = { id, task, input, files, inside, assets, script: script! };
    worker.postMessage(asked);
  });
}

/** Ends whatever a command does; the next one gets a new worker. */
export function stopWork(): void {
  endWorker(commands, new Stopped('stopped'));
}

/** Starts the worker that commands need, while somebody still reads what it is for. */
export function warmUp(): void {
  running(commands);
}

function running(bench: Bench): Worker {
  if (bench.worker !== null) return bench.worker;
  script ??= new Blob([embedded('worker')], { type: 'text/javascript' });
  const worker = new Worker(URL.createObjectURL(script));
  worker.onmessage = ({ data }: MessageEvent<Answer>) => bench.waiting.get(data.id)?.answer(data);
  worker.onerror = ({ message }) => endWorker(bench, new Error(message || 'the worker ended'));
  bench.worker = worker;
  return worker;
}

function endWorker(bench: Bench, why: Error): void {
  bench.worker?.terminate();
  bench.worker = null;
  const left = [...bench.waiting.values()];
  bench.waiting.clear();
  for (const { stop } of left) stop(why);
}

const read = new Map<string, unknown>();

/** What the page brings along, as `build-page.ts` put it there; read when it is first needed. */
function embedded<Value>(id: string): Value {
  if (!read.has(id)) read.set(id, JSON.parse(document.getElementById(id)!.textContent!));
  return read.get(id) as Value;
}
