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
const NO_FILES: ReadonlyMap<string, Blob> = new Map();
let worker: Worker | null = null;
let script: Blob | null = null;
let lastId = 0;
/** Who waits for the running worker. */
const waiting = new Map<number, { answer: (one: Answer) => void; stop: (why: Error) => void }>();

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
  return new Promise((done, fail) => {
    waiting.set(id, {
      stop: fail,
      answer(one) {
        if ('progress' in one) return onProgress?.(one.progress);
        waiting.delete(id);
        if ('done' in one) return done(one.done as Awaited<ReturnType<Tasks[Name]>>);
        fail('fault' in one.failed ? new Error(one.failed.fault) : new SteptoneError(one.failed));
      },
    });
    const assets: Asked['assets'] = MAKES_REPORT.has(task) ? embedded('report-assets') : null;
    const worker = running();
    const asked: Asked = { id, task, input, files, inside, assets, script: script! };
    worker.postMessage(asked);
  });
}

/** Ends whatever the worker does; the next task gets a new one. */
export function stopWork(): void {
  endWorker(new Stopped('stopped'));
}

function running(): Worker {
  if (worker !== null) return worker;
  script ??= new Blob([embedded('worker')], { type: 'text/javascript' });
  const address = URL.createObjectURL(script);
  worker = new Worker(address);
  worker.onmessage = ({ data }: MessageEvent<Answer>) => waiting.get(data.id)?.answer(data);
  worker.onerror = ({ message }) => endWorker(new Error(message || 'the worker ended'));
  return worker;
}

function endWorker(why: Error): void {
  worker?.terminate();
  worker = null;
  const left = [...waiting.values()];
  waiting.clear();
  for (const { stop } of left) stop(why);
}

const read = new Map<string, unknown>();

/** What the page brings along, as `build-page.ts` put it there; read when it is first needed. */
function embedded<Value>(id: string): Value {
  if (!read.has(id)) read.set(id, JSON.parse(document.getElementById(id)!.textContent!));
  return read.get(id) as Value;
}
