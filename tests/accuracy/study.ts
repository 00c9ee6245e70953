import { fork } from 'node:child_process';
import { appendFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { FIRST_HELD_OUT_SEED, FIRST_RICH_SEED, FIRST_UNUSUAL_SEED } from './draw-system.ts';
import { judgeSystem } from './judge/judge-system.ts';
import type { Analysed } from './outcome.ts';
import { tables } from './table.ts';
import { worstCases } from './worst-cases.ts';

/**
 * `npm run accuracy -- --systems 500 --seed 1 [--held-out] [--rich 200] [--unusual 200]`: random factory systems, and some rich in what is rare, through files, each analysed and held
 * against its truth. What is found is kept as it comes, so that a study that was stopped goes on
 * where it was, and is judged anew each time: delete the journal after the method has changed.
 */
const { values } = parseArgs({
  options: {
    systems: { type: 'string', default: '500' },
    seed: { type: 'string', default: '1' },
    workers: { type: 'string', default: '2' },
    rich: { type: 'string', default: '0' },
    unusual: { type: 'string', default: '0' },
    /** Only reads what is there, while another study runs or after it was stopped. */
    read: { type: 'boolean', default: false },
    'held-out': { type: 'boolean', default: false },
  },
});

const OUT = join(import.meta.dirname, '..', '..', 'out', 'accuracy');

const heldOut = values['held-out'];
const first = wholeNumber('seed') + (heldOut ? FIRST_HELD_OUT_SEED : 0);
const seeds = [
  ...from(first, wholeNumber('systems', 0)),
  ...from(first + FIRST_RICH_SEED, wholeNumber('rich', 0)),
  ...from(first + FIRST_UNUSUAL_SEED, wholeNumber('unusual', 0)),
];
const name = heldOut ? 'held-out' : 'tuning';
const journal = join(OUT, `${name}.jsonl`);

mkdirSync(OUT, { recursive: true });
const known = readJournal();
const open = seeds.filter((seed) => !known.has(seed));
console.log(`${seeds.length} systems, ${seeds.length - open.length} of them known from ${journal}`);
if (!values.read)
  await Promise.all(Array.from({ length: Math.min(wholeNumber('workers'), open.length) }, work));

const outcomes = seeds.flatMap((seed) => {
  const analysed = known.get(seed);
  return analysed === undefined ? [] : [judgeSystem(analysed)];
});
const text = tables(outcomes);
writeFileSync(join(OUT, `${name}.md`), `${text}\n`);
writeFileSync(join(OUT, `${name}-worst.txt`), `${worstCases(outcomes)}\n`);
console.log(`\n${text}`);

/** One worker process, fed until no seed is left. */
function work(): Promise<void> {
  return new Promise((resolve, reject) => {
    const worker = fork(join(import.meta.dirname, 'study-worker.ts'), { execArgv: ['--import', 'tsx'] });
    const next = () => {
      const seed = open.shift();
      if (seed === undefined) worker.disconnect();
      else worker.send(seed);
    };
    worker.on('message', (analysed: Analysed) => {
      known.set(analysed.seed, analysed);
      appendFileSync(journal, `${JSON.stringify(analysed)}\n`);
      report(analysed);
      next();
    });
    worker.on('exit', (code) =>
      code === 0 ? resolve() : reject(new Error(`a worker of the study ended with ${code}`)),
    );
    next();
  });
}

function report(analysed: Analysed): void {
  const { seed, snrDb, seconds, claims, failure } = judgeSystem(analysed);
  const bad = claims.filter(({ judgement }) => judgement === 'false claim' || judgement === 'miss').length;
  const time = (seconds.simulated + seconds.analysed).toFixed(1);
  console.log(`seed ${seed}, ${snrDb.toFixed(0)} dB: ${time} s, ${bad} wrong ${failure ?? ''}`);
}

function readJournal(): Map<number, Analysed> {
  if (!existsSync(journal)) return new Map();
  const lines = readFileSync(journal, 'utf8').split('\n').filter(Boolean);
  return new Map(
    lines.map((line) => JSON.parse(line) as Analysed).map((analysed) => [analysed.seed, analysed]),
  );
}

function from(seed: number, count: number): number[] {
  return Array.from({ length: count }, (_, i) => seed + i);
}

function wholeNumber(option: 'systems' | 'seed' | 'workers' | 'rich' | 'unusual', least = 1): number {
  const value = Number(values[option]);
  if (Number.isInteger(value) && value >= least) return value;
  throw new Error(`--${option}: expected a whole number from ${least} on, found '${values[option]}'`);
}
