import { execFileSync, spawnSync } from 'node:child_process';
import {
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { checkTargets } from '../../cli/check-targets.ts';
import { writeTogether } from '../../cli/write-together.ts';

const OLD = { 'report.html': 'old report', 'results.json': 'old results', 'sheet.html': 'old sheet' };
const NEW = { 'report.html': 'new report', 'results.json': 'new results', 'sheet.html': 'new sheet' };
const NAMES = Object.keys(NEW);

let root: string;
let folder: string;
let script: string;
beforeAll(() => {
  root = mkdtempSync(join(tmpdir(), 'steptone-together-'));
  script = join(root, 'write.mjs');
  const compiled = pathToFileURL(resolve(import.meta.dirname, '../../dist/cli/write-together.js')).href;
  writeFileSync(
    script,
    `import { writeTogether } from ${JSON.stringify(compiled)};
const status = (folder) => {
  try { writeTogether({ folder, files: ${JSON.stringify(NEW)}, force: true }); return 0; }
  catch (error) { return error.name === 'SteptoneError' ? 2 : 1; }
};
const [out, ...more] = process.argv.slice(2);
if (more.length === 0) process.exitCode = status(out);
else console.log(JSON.stringify([out, ...more].map((folder, i) => { failAtStep(i + 1); return status(folder); })));
`,
  );
});
beforeEach(() => {
  folder = mkdtempSync(join(root, 'case-'));
});
afterAll(() => rmSync(root, { recursive: true, force: true }));

/** What is read under each name; null where nothing is. */
function contents(out: string): Record<string, string | null> {
  return Object.fromEntries(
    NAMES.map((name) => [name, existsSync(join(out, name)) ? readFileSync(join(out, name), 'utf8') : null]),
  );
}

function writeOld(out: string, files: Record<string, string>): void {
  mkdirSync(out, { recursive: true });
  for (const [name, text] of Object.entries(files)) writeFileSync(join(out, name), text);
}

/** Every file and folder around a report folder, with its bytes; the process that made it has a number of its own. */
function leftBehind(out: string): Record<string, string> {
  const around = join(out, '..');
  return Object.fromEntries(
    readdirSync(around, { recursive: true, encoding: 'utf8' })
      .map((name): [string, string] => {
        const found = lstatSync(join(around, name));
        const content = found.isFile() ? readFileSync(join(around, name), 'latin1') : 'no file';
        return [name.replaceAll(/(?<=\.)\d+-\d+(?=\.)|(?<=owner-)\d+/g, 'N'), content];
      })
      .sort(([one], [other]) => (one < other ? -1 : 1)),
  );
}

/** Writes the new files in a process of its own, into one folder after the other, with a fault at a step. */
function run(folders: readonly string[], env: Record<string, string>) {
  return spawnSync(
    process.execPath,
    ['--import', join(import.meta.dirname, 'fault-at-step.js'), script, ...folders],
    { encoding: 'utf8', env: { ...process.env, ...env } },
  );
}

function stepsOfWriting(out: string): number {
  const countFile = join(root, 'count');
  run([out], { STEPTONE_FAULT: 'count', STEPTONE_FAULT_COUNT: countFile });
  return Number(readFileSync(countFile, 'utf8'));
}

/** The exit status of writing into each of the folders, where the first fails at step 1, the second at step 2, ... */
function statuses(folders: readonly string[], env: Record<string, string>): number[] {
  return JSON.parse(run(folders, env).stdout);
}

const STARTS: readonly (readonly [string, Record<string, string> | null])[] = [
  ['the older set', OLD],
  ['a part of an older set', { 'report.html': 'old report' }],
  ['an empty folder', {}],
  ['no folder', null],
];

describe.each(STARTS)('writeTogether over %s', (_, before) => {
  const start = (name: string) => {
    const out = join(folder, name, 'steptone-out');
    if (before !== null) writeOld(out, before);
    else mkdirSync(join(folder, name));
    return out;
  };

  it('is all or none when it ends at any step, and the next run leaves nothing behind.', () => {
    const was = { 'report.html': null, 'results.json': null, 'sheet.html': null, ...before };
    const steps = stepsOfWriting(start('count'));
    expect(steps).toBeGreaterThan(NAMES.length * 4);
    const folders = Array.from({ length: steps }, (_, i) => start(`dead-${i + 1}`));
    statuses(folders, { STEPTONE_FAULT: 'dead' });
    // A process that is killed leaves the same; one for every step would take ten times as long.
    for (const step of [1, steps >> 1, steps]) {
      const out = start(`kill-${step}`);
      const { signal } = run([out], { STEPTONE_FAULT: 'SIGKILL', STEPTONE_FAULT_STEP: String(step) });
      expect(signal).toBe('SIGKILL');
      expect(leftBehind(out), `killed at step ${step}`).toEqual(leftBehind(folders[step - 1]));
    }
    const seen = new Set<string>();
    for (const [i, out] of folders.entries()) {
      const after = contents(out);
      expect([was, NEW], `ended at step ${i + 1}`).toContainEqual(after);
      seen.add(JSON.stringify(after));
      writeTogether({ folder: out, files: NEW, force: true });
      expect(contents(out)).toEqual(NEW);
      expect(readdirSync(out).sort()).toEqual(NAMES);
      expect(NAMES.every((name) => lstatSync(join(out, name)).isFile())).toBe(true);
      expect(readdirSync(join(out, '..'))).toEqual(['steptone-out']);
    }
    expect(seen.size).toBe(2); // some ended before the change and some behind it
  });

  it('leaves the older set whole, with one error, where the disk is full at any step.', () => {
    const was = { 'report.html': null, 'results.json': null, 'sheet.html': null, ...before };
    const folders = Array.from({ length: stepsOfWriting(start('count')) }, (_, i) => start(`full-${i + 1}`));
    const seen = statuses(folders, { STEPTONE_FAULT: 'ENOSPC' });
    expect(seen).toHaveLength(folders.length);
    // What fails once the new set is whole leaves something to tidy up, no more.
    seen.forEach((status, i) => {
      expect(contents(folders[i]), `step ${i + 1}, status ${status}`).toEqual(status === 2 ? was : NEW);
    });
    expect([...new Set(seen)].sort()).toEqual([0, 2]);
  });
});

it('On a stick that knows no links, an error at any step leaves the older set whole.', () => {
  // EPERM of symlinkSync is what such sticks answer; counted up to it, then each later step fails.
  const folders = Array.from({ length: 60 }, (_, i) => join(folder, String(i + 1)));
  for (const out of folders) writeOld(out, OLD);
  const seen = statuses(folders, { STEPTONE_NO_LINKS: '1', STEPTONE_FAULT: 'EIO' });
  seen.forEach((status, i) => {
    expect(contents(folders[i]), `step ${i + 1}`).toEqual(status === 2 ? OLD : NEW);
  });
  expect([...new Set(seen)].sort()).toEqual([0, 2]);
});

it('Two runs at the same time leave one set whole.', () => {
  writeOld(folder, OLD);
  const both = `for (const text of ['first', 'second']) spawn(process.execPath, ['-e', code(text)], { stdio: 'inherit' });`;
  const module = pathToFileURL(resolve(import.meta.dirname, '../../dist/cli/write-together.js')).href;
  const run = join(root, 'both.mjs');
  writeFileSync(
    run,
    `import { spawn } from 'node:child_process';
const code = (text) => \`import(${JSON.stringify(module)}).then(({ writeTogether }) => { for (let i = 0; i < 20; i++)
  writeTogether({ folder: ${JSON.stringify(folder)}, force: true, files: { 'report.html': '\${text}' + i, 'results.json': '\${text}' + i } }); })\`;
${both}
`,
  );
  execFileSync(process.execPath, [run]);
  const { 'report.html': report, 'results.json': results } = contents(folder);
  expect(report).toBe(results);
  expect(report).toMatch(/^(first|second)19$/);
  expect(readdirSync(folder).sort()).toEqual(NAMES);
});

describe('checkTargets', () => {
  it.each<[string, (at: string) => string, RegExp]>([
    ['a file in the place of the folder', (at) => write(join(at, 'out')), /a file of that name/],
    [
      'a path through a file',
      (at) => join(write(join(at, 'out')), 'below', 'out'),
      /a file of the name .*out in the path/,
    ],
    ['a link that leads nowhere', (at) => link('nowhere', join(at, 'out')), /a link that leads nowhere/],
    ['a link to itself', (at) => link('out', join(at, 'out')), /a link that leads back to itself/],
    [
      'a folder in the place of a file',
      (at) => above(mkdirs(join(at, 'out', 'report.html'))),
      /a folder of that name/,
    ],
    ['a name that is too long', (at) => join(at, 'a'.repeat(300)), /too long/],
  ])('refuses %s before the work, with --force as well', (_, make, says) => {
    const out = make(folder);
    expect(() => checkTargets({ folder: out, names: NAMES, force: true })).toThrow(
      expect.objectContaining({ code: 'cannot-write', message: expect.stringMatching(says) }),
    );
  });

  it('counts the files that are in the way', () => {
    writeOld(folder, OLD);
    expect(() => checkTargets({ folder, names: NAMES, force: false })).toThrow(/2 more.*--force/);
    expect(() => checkTargets({ folder, names: NAMES })).toThrow(/move the file away/);
    expect(() => checkTargets({ folder, names: NAMES, force: true })).not.toThrow();
  });

  it('removes what a killed run left, and leaves alone what a run at work writes', () => {
    const dead = spawnSync(process.execPath, ['-e', '']).pid;
    mkdirSync(join(folder, `.${dead}-1.unfinished`, 'new'), { recursive: true });
    mkdirSync(join(folder, `.${process.ppid}-1.unfinished`, 'new'), { recursive: true });
    checkTargets({ folder, names: NAMES });
    expect(readdirSync(folder)).toEqual([`.${process.ppid}-1.unfinished`]);
  });
});

it('leaves no folder that was made for the work where it comes to nothing', () => {
  const files = {
    get 'a.txt'(): string {
      throw new Error('could not be made');
    },
  };
  expect(() => writeTogether({ folder: join(folder, 'a', 'b'), files })).toThrow('could not be made');
  expect(readdirSync(folder)).toEqual([]);
});

function write(path: string): string {
  writeFileSync(path, '');
  return path;
}

function link(target: string, path: string): string {
  symlinkSync(target, path);
  return path;
}

function mkdirs(path: string): string {
  mkdirSync(path, { recursive: true });
  return path;
}

function above(path: string): string {
  return join(path, '..');
}

it.runIf(existsSync('/proc/self'))('is refused at once below a folder in which nothing can be made', () => {
  for (const out of ['/proc/steptone', '/proc/steptone/below'])
    expect(() => writeTogether({ folder: out, files: NEW })).toThrow(
      expect.objectContaining({ code: 'cannot-write' }),
    );
});
