import { spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join, resolve } from 'node:path';
import { Command } from 'commander';
import { seededRandom } from '../../src/dsp/random.ts';
import { type Mutation, mutationsOf } from './mutations.ts';

// Faults are put into a copy of the tree: a run that is stopped leaves nothing behind, and one can work on beside it.
const root = resolve(import.meta.dirname, '../..');
const copy = join(root, 'out/mutants/tree');
/** A fault can make a loop endless. */
const LONGEST_RUN_MS = 180_000;

interface Fault extends Mutation {
  readonly file: string;
}

const program = new Command('mutants')
  .argument('<folder>', 'folder or file under src, such as src/recommend/chain')
  .option('--limit <n>', 'how many faults are tried', Number, 20)
  .option('--seed <n>', 'which faults are drawn', Number, 1)
  .option('--tests <folders...>', 'tests that must notice; default: all that import the file')
  .option('--without <tests...>', 'tests that are left out')
  .parse();
const folder = program.args[0];
const { limit, seed, tests, without } = program.opts<{
  limit: number;
  seed: number;
  tests?: string[];
  without?: string[];
}>();

rmSync(copy, { recursive: true, force: true });
mkdirSync(copy, { recursive: true });
for (const name of readdirSync(root))
  if (!['node_modules', 'out', '.git', 'biome.json'].includes(name))
    cpSync(join(root, name), join(copy, name), { recursive: true });

const drawn = draw(faultsUnder(folder));
if (drawn.length === 0) throw new Error(`No file with anything to change under ${folder}.`);
// Were a test red as it is, every fault would seem to be noticed.
const asItIs = testsOf(drawn[0].file);
if (asItIs.status !== 0) throw new Error(`Tests fail before anything is changed:\n${asItIs.stdout}`);

const survivors: string[] = [];
for (const fault of drawn) {
  const path = join(copy, fault.file);
  const text = readFileSync(path, 'utf8');
  writeFileSync(path, text.slice(0, fault.from) + fault.replacement + text.slice(fault.to));
  const noticed = testsOf(fault.file).status !== 0;
  writeFileSync(path, text);
  const line = `${fault.file}:${text.slice(0, fault.from).split('\n').length} ${described(fault, text)}`;
  process.stdout.write(`${noticed ? 'noticed ' : 'SURVIVED'} ${line}\n`);
  if (!noticed) survivors.push(line);
}
process.stdout.write(
  `${drawn.length - survivors.length} of ${drawn.length} noticed (${folder}, seed ${seed})\n`,
);

function faultsUnder(place: string): Fault[] {
  const names = statSync(join(root, place)).isFile()
    ? [place]
    : readdirSync(join(root, place), { recursive: true, encoding: 'utf8' })
        .filter((name) => name.endsWith('.ts'))
        .sort()
        .map((name) => join(place, name));
  return names.flatMap((file) =>
    mutationsOf(readFileSync(join(copy, file), 'utf8')).map((mutation) => ({ file, ...mutation })),
  );
}

function draw(faults: Fault[]): Fault[] {
  const random = seededRandom(seed);
  return faults
    .map((fault) => ({ fault, place: random.uniform() }))
    .sort((one, other) => one.place - other.place)
    .slice(0, limit)
    .map(({ fault }) => fault);
}

function testsOf(file: string) {
  const command = tests === undefined ? ['related', file, '--run'] : ['run', ...tests];
  const vitest = join(root, 'node_modules/vitest/vitest.mjs');
  if (!existsSync(vitest)) throw new Error('No vitest: run npm ci first.');
  const leftOut = (without ?? []).flatMap((test) => ['--exclude', test]);
  return spawnSync(process.execPath, [vitest, ...command, '--bail', '1', '--reporter', 'dot', ...leftOut], {
    cwd: copy,
    encoding: 'utf8',
    timeout: LONGEST_RUN_MS,
  });
}

function described({ kind, from, to, replacement }: Mutation, text: string): string {
  const flat = (part: string) => part.replace(/\s+/g, ' ').slice(0, 70);
  return `${kind}: ${flat(text.slice(from, to))} -> ${flat(replacement)}`;
}
