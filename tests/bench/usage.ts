import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

/** What one process used, its own peak memory among it. */
export interface Usage {
  readonly wallSeconds: number;
  readonly cpuSeconds: number;
  readonly peakMegabytes: number;
}

export type Job<Answer extends Usage = Usage> = () => Answer;

const REPORT_USAGE = ['--import', join(import.meta.dirname, 'report-usage.js')];

/** Runs node with arguments, threads and all. */
export function usedByNode(
  args: readonly string[],
  { out, before = [] }: { out: string; before?: readonly string[] },
): Usage {
  const usageFile = join(out, 'usage.json');
  const [command, ...rest] = [...before, process.execPath, ...REPORT_USAGE, ...args];
  // `check` ends with 3 where something has to be recorded.
  const { status } = spawnSync(command, rest, {
    stdio: ['ignore', 'ignore', 'inherit'],
    env: { ...process.env, STEPTONE_BENCH_USAGE: usageFile },
  });
  if (status !== 0 && status !== 3) throw new Error(`${args.join(' ')} ended with ${status}`);
  return JSON.parse(readFileSync(usageFile, 'utf8'));
}

/** Runs a program that prints its usage as JSON, with more if it likes. */
export function printedBy<Answer extends Usage>(
  command: string,
  args: readonly string[],
  env: Record<string, string> = {},
): Answer {
  const printed = execFileSync(command, args, {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, ...env },
    maxBuffer: 1 << 26,
  });
  return JSON.parse(printed);
}

export function has(command: string, args: readonly string[] = ['--version']): boolean {
  return spawnSync(command, args).status === 0;
}

/** Medians over some runs of jobs that take turns, so that what else the machine does weighs on all alike. */
export function takeTurns(jobs: Readonly<Record<string, Job>>, runs: number): Map<string, Usage> {
  const all = new Map<string, Usage[]>(Object.keys(jobs).map((name) => [name, []]));
  for (let i = 0; i < runs; i++) for (const [name, job] of Object.entries(jobs)) all.get(name)!.push(job());
  return new Map([...all].map(([name, usages]) => [name, medianOf(usages)]));
}

function medianOf(usages: readonly Usage[]): Usage {
  const median = (key: keyof Usage) =>
    usages.map((one) => one[key]).sort((a, b) => a - b)[usages.length >> 1];
  return {
    wallSeconds: median('wallSeconds'),
    cpuSeconds: median('cpuSeconds'),
    peakMegabytes: median('peakMegabytes'),
  };
}

export function printUsages(usages: ReadonlyMap<string, Usage>): void {
  for (const [name, { cpuSeconds, wallSeconds, peakMegabytes }] of usages)
    console.log(
      `${name.padEnd(30)} ${cpuSeconds.toFixed(2).padStart(7)} s processor ${wallSeconds.toFixed(2).padStart(7)} s elapsed ${peakMegabytes.toFixed(0).padStart(5)} MB`,
    );
}

export function printRatio(what: string, value: number): void {
  console.log(`${what.padEnd(66)} ${value.toFixed(2)}`);
}
