import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { Command } from 'commander';
import { seededRandom } from '../../src/dsp/random.ts';
import { importersOf } from './importers.ts';
import { type Mutation, mutated, mutationsOf, noting } from './mutations.ts';
import type { Answer, Question } from './warm-tests.ts';

const root = resolve(import.meta.dirname, '../..');
/** A fault can make a loop endless: it is noticed when a test takes this many times the processor time that it takes without it. */
const SLOWER_BY = 20;
const SHORTEST_LIMIT_MS = 20_000;
const LOOK_EVERY_MS = 2000;

interface Fault extends Mutation {
  readonly file: string;
  /** Of the file as it was when the run began, so that work on it may go on. */
  readonly text: string;
}

/** A test as it is, with nothing wrong in the code. */
interface Pass {
  readonly milliseconds: number;
  readonly reached: ReadonlySet<Fault>;
}

const program = new Command('mutants')
  .argument('<folder>', 'folder or file under src, such as src/recommend/chain')
  .option('--limit <n>', 'how many faults are tried', Number, 20)
  .option('--seed <n>', 'which faults are drawn', Number, 1)
  .option(
    '--lines <n...>',
    'only faults of these lines, such as 17 40',
    (n, all: number[]) => [...all, Number(n)],
    [],
  )
  .option('--again <file>', 'only faults that survived in an earlier run, whose output is in this file')
  .option('--tests <folders...>', 'tests that must notice; default: all that import the file')
  .option('--without <tests...>', 'tests that are left out')
  .option(
    '--longest <s>',
    'tests that take longer than this (of the processor, as they are) are left out',
    Number,
    Number.POSITIVE_INFINITY,
  )
  .parse();
const folder = program.args[0].replace(/\/$/, '');
const { limit, seed, lines, again, tests, without, longest } = program.opts<{
  limit: number;
  seed: number;
  lines: number[];
  again?: string;
  tests?: string[];
  without?: string[];
  longest: number;
}>();

let warm: ChildProcess | null = null;
const testsOf = new Map<string, string[]>();
const passOf = new Map<string, Pass>();
/** Kept from run to run, so that tests that are too slow are not even timed again. */
const timesFile = join(root, 'out/mutants/milliseconds.json');
const timesBefore: Record<string, number> = existsSync(timesFile)
  ? JSON.parse(readFileSync(timesFile, 'utf8'))
  : {};
const survivors: string[] = [];
const askedFor =
  again === undefined
    ? null
    : new Set(
        readFileSync(again, 'utf8')
          .split('\n')
          .filter((line) => line !== ''),
      );

const drawn = draw(faultsUnder(folder));
if (drawn.length === 0) throw new Error(`No file with anything to change under ${folder}.`);
const askedFaults = drawn.filter((fault) => askedFor === null || askedFor.has(`SURVIVED ${lineFor(fault)}`));
const byFile = [...askedFaults].sort((one, other) => (one.file < other.file ? -1 : 1));
const noted = notedTexts();
for (const fault of askedFaults) {
  const line = lineFor(fault);
  const by = await noticedBy(fault);
  process.stdout.write(by.test === null ? `SURVIVED ${line}\n` : `noticed  ${line} [${by.test}]\n`);
  if (by.test === null) survivors.push(`${line}${by.reached ? '' : ' [no test comes here]'}`);
}
process.stdout.write(`\n${survivors.map((line) => `left     ${line}\n`).join('')}`);
process.stdout.write(
  `${askedFaults.length - survivors.length} of ${askedFaults.length} noticed (${folder}, seed ${seed})\n`,
);
stopTests();

function faultsUnder(place: string): Fault[] {
  const names = statSync(join(root, place)).isFile()
    ? [place]
    : readdirSync(join(root, place), { recursive: true, encoding: 'utf8' })
        .filter((name) => name.endsWith('.ts'))
        .sort()
        .map((name) => join(place, name));
  return names.flatMap((file) => {
    const text = readFileSync(join(root, file), 'utf8');
    return mutationsOf(text)
      .filter((mutation) => lines.length === 0 || lines.includes(lineOf(mutation, text)))
      .map((mutation) => ({ file, text, ...mutation }));
  });
}

function draw(faults: Fault[]): Fault[] {
  const random = seededRandom(seed);
  return faults
    .map((fault) => ({ fault, place: random.uniform() }))
    .sort((one, other) => one.place - other.place)
    .slice(0, limit)
    .map(({ fault }) => fault);
}

/** The first test that notices, nearest tests first; of those only that compute what is changed. */
async function noticedBy(fault: Fault): Promise<{ test: string | null; reached: boolean }> {
  const text = mutated(fault.text, fault);
  let reached = false;
  for (const test of nearestFirst(fault.file)) {
    if (timesBefore[timed(test)] > longest * 1000) continue;
    const pass = await passAsItIs(test);
    if (pass.milliseconds > longest * 1000) continue;
    if (fault.computed !== null && !pass.reached.has(fault)) continue;
    reached = true;
    const answer = await ask(
      { texts: { [fault.file]: text }, test, places: 0 },
      Math.max(SHORTEST_LIMIT_MS, SLOWER_BY * pass.milliseconds),
    );
    if (answer === null) return { test: 'endless', reached };
    if (answer.failed !== null) return { test: answer.failed, reached };
  }
  return { test: null, reached };
}

/** The files with faults, each noting which of them the test computes. */
function notedTexts(): Record<string, string> {
  const firsts = byFile.filter(({ file }, k) => file !== byFile[k - 1]?.file);
  return Object.fromEntries(
    firsts.map((first) => {
      const faults = byFile.filter(({ file }) => file === first.file);
      return [first.file, noting(first.text, faults, byFile.indexOf(first))];
    }),
  );
}

/** Tests of the same name, of the same folder, of the same room, and all others that import the file. */
function nearestFirst(file: string): string[] {
  const known = testsOf.get(file);
  if (known !== undefined) return known;
  const near = file.replace(/^src\//, 'tests/');
  const starts = [near.replace(/\.ts$/, '.test.ts'), `${dirname(near)}/`, near.split('/', 2).join('/'), ''];
  const distance = (test: string) => starts.findIndex((start) => test.startsWith(start));
  const found = importersOf(file, root)
    .filter((test) => (tests ?? ['']).some((start) => test.startsWith(start)))
    .filter((test) => !(without ?? []).some((part) => test.includes(part)))
    .sort((one, other) => distance(one) - distance(other));
  testsOf.set(file, found);
  return found;
}

/** A test that was changed is timed again. */
function timed(test: string): string {
  return `${test} of ${statSync(join(root, test)).size} bytes`;
}

/** Were a test red as it is, every fault would seem to be noticed. */
async function passAsItIs(test: string): Promise<Pass> {
  const known = passOf.get(test);
  if (known !== undefined) return known;
  const answer = await ask({ texts: noted, test, places: byFile.length });
  if (answer === null || answer.failed !== null)
    throw new Error(`A test fails before anything is changed: ${answer?.failed ?? test}`);
  const milliseconds = Math.round(answer.milliseconds);
  const pass = { milliseconds, reached: new Set(answer.reached.map((place) => byFile[place])) };
  passOf.set(test, pass);
  timesBefore[timed(test)] = milliseconds;
  mkdirSync(dirname(timesFile), { recursive: true });
  writeFileSync(timesFile, JSON.stringify(timesBefore, null, 1));
  return pass;
}

/** Null where no answer comes within the limit; the tests are started anew then. */
async function ask(question: Question, limitMs?: number): Promise<Answer | null> {
  warm ??= await started();
  const child = warm;
  const heard = new AbortController();
  child.send(question);
  const from = processorMs(child);
  const watch = setInterval(() => {
    if (limitMs !== undefined && processorMs(child) - from > limitMs) child.kill('SIGKILL');
  }, LOOK_EVERY_MS);
  const [answer] = await Promise.race([
    once(child, 'message', { signal: heard.signal }),
    once(child, 'exit', { signal: heard.signal }),
  ]);
  heard.abort();
  clearInterval(watch);
  if (typeof answer === 'object' && answer !== null) return answer as Answer;
  warm = null;
  return null;
}

/** So far, by the kernel's account (hundredths of a second); the clock's time where there is none. */
function processorMs({ pid }: ChildProcess): number {
  try {
    const [user, system] = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1].split(' ').slice(11, 13);
    return 10 * (Number(user) + Number(system));
  } catch {
    return Date.now();
  }
}

async function started(): Promise<ChildProcess> {
  const child = fork(join(import.meta.dirname, 'warm-tests.ts'), {
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  await once(child, 'message');
  return child;
}

function stopTests(): void {
  warm?.kill('SIGKILL');
}

function lineFor(fault: Fault): string {
  return `${fault.file}:${lineOf(fault, fault.text)} ${described(fault, fault.text)}`;
}

function lineOf({ from }: Mutation, text: string): number {
  return text.slice(0, from).split('\n').length;
}

function described({ kind, from, to, replacement }: Mutation, text: string): string {
  const flat = (part: string) => part.replace(/\s+/g, ' ').slice(0, 70);
  return `${kind}: ${flat(text.slice(from, to))} -> ${flat(replacement)}`;
}
