import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

/** Mostly under 150 (house rule); a file beyond this holds more than one concept. */
const MOST_LINES = 300;

const root = resolve(import.meta.dirname, '..');
/** A file imports its own folder and lower ranks only. */
const ranks = ranksIn(readFileSync(join(root, 'DEVELOPERS.md'), 'utf8'));
const files = ['src', 'cli'].flatMap((folder) =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name) => ({ name: join(folder, name), text: readFileSync(join(root, folder, name), 'utf8') })),
);
const pure = files.filter(({ name }) => name.startsWith('src'));

describe('the way the code hangs together', () => {
  it('DEVELOPERS.md ranks every folder that there is, and no other.', () => {
    const found = new Set(files.map(({ name }) => partOf(name)));
    expect([...found].sort()).toEqual([...ranks.keys()].sort());
  });

  it('Imports point from a folder to itself or to a lower rank, never up or across.', () => {
    const wrong = files.flatMap(({ name, text }) =>
      importsOf(text)
        .filter((target) => target.startsWith('.'))
        .map((target) => relative(root, resolve(root, dirname(name), target)))
        .filter((target) => partOf(target) !== partOf(name) && rankOf(target) >= rankOf(name))
        .map((target) => `${name} imports ${target}`),
    );
    expect(wrong).toEqual([]);
  });

  it('No two files import each other, types included, however long the way round.', () => {
    const imports = new Map(
      files.map(({ name, text }) => [
        name,
        importsOf(text)
          .filter((target) => target.startsWith('.'))
          .map((target) => relative(root, resolve(root, dirname(name), target))),
      ]),
    );
    expect([...imports.keys()].filter((name) => reaches({ from: name, to: name, edges: imports }))).toEqual(
      [],
    );
  });

  it('src/ never asks for the file system, the terminal, the clock, the process or randomness.', () => {
    const impure =
      /\b(process\.|console\.|Date\.now|new Date\(\)|Math\.random|performance\.now|setTimeout|globalThis\.)/;
    const wrong = pure.flatMap(({ name, text }) => {
      const nodeImports = importsOf(text).filter((target) => target.startsWith('node:') || target === 'fs');
      const call = impure.exec(withoutComments(text))?.[0];
      return [...nodeImports, ...(call === undefined ? [] : [call])].map((what) => `${name} uses ${what}`);
    });
    expect(wrong).toEqual([]);
  });

  it('The page reaches the core alone: nothing of the command line, and nothing of Node.', () => {
    const page = join('report-template', 'job');
    const wrong = readdirSync(join(root, page), { recursive: true, encoding: 'utf8' })
      .filter((name) => /\.tsx?$/.test(name))
      .flatMap((name) =>
        importsOf(readFileSync(join(root, page, name), 'utf8'))
          .map((target) =>
            target.startsWith('.') ? relative(root, resolve(root, page, dirname(name), target)) : target,
          )
          .filter((target) => target.startsWith('cli') || target.startsWith('node:'))
          .map((target) => `${name} imports ${target}`),
      );
    expect(wrong).toEqual([]);
  });

  it('`gains` loads no schema: it answers while the schemas would still be built.', () => {
    const isForTypes = /^import type [\s\S]*?;$/gm;
    const loaded = new Set<string>();
    const load = (name: string): void => {
      if (loaded.has(name)) return;
      loaded.add(name);
      const text = files.find((one) => one.name === name)?.text.replace(isForTypes, '') ?? '';
      for (const target of importsOf(text))
        load(target.startsWith('.') ? relative(root, resolve(root, dirname(name), target)) : target);
    };
    load('cli/gains.ts');
    expect([...loaded]).toContain('src/recommend/chain/meter-gains.ts');
    expect([...loaded]).not.toContain('zod');
  });

  it('Only the two that are started, the command and the demo, set the exit status.', () => {
    const setters = files.filter(({ text }) => /process\.exit(Code)?\b/.test(withoutComments(text)));
    expect(setters.map(({ name }) => name).sort()).toEqual(['cli/demo.ts', 'cli/main.ts']);
  });

  it(`No file in src/ is longer than ${MOST_LINES} lines.`, () => {
    const long = pure.map(({ name, text }) => ({ name, lines: text.split('\n').length - 1 }));
    expect(long.filter(({ lines }) => lines > MOST_LINES)).toEqual([]);
  });
});

/** `model 0, takes and simulate 3, ...` */
function ranksIn(developers: string): Map<string, number> {
  const list = /Ranks, who may import whom[^\n]*\n([^.]+)\./.exec(developers)?.[1] ?? '';
  const entries = [...list.matchAll(/((?:[a-z]+(?:, | and )?)+) (\d+)/g)];
  return new Map(
    entries.flatMap(([, names, rank]) => names.split(/, | and /).map((name) => [name, Number(rank)])),
  );
}

function partOf(name: string): string {
  const [top, second] = name.split('/');
  return top === 'src' ? second.replace(/\.ts$/, '') : top;
}

function rankOf(name: string): number {
  return ranks.get(partOf(name)) ?? Number.NaN;
}

function importsOf(text: string): string[] {
  const pattern = /(?:\bfrom\s+|\bimport\s*\(\s*|^import\s+)['"]([^'"]+)['"]/gm;
  return [...text.matchAll(pattern)].map((match) => match[1]);
}

function withoutComments(text: string): string {
  return text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|\s)\/\/.*$/gm, '');
}

function reaches({
  from,
  to,
  edges,
}: {
  from: string;
  to: string;
  edges: ReadonlyMap<string, string[]>;
}): boolean {
  const seen = new Set<string>();
  const open = [...(edges.get(from) ?? [])];
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    if (next === to) return true;
    if (seen.has(next)) continue;
    seen.add(next);
    open.push(...(edges.get(next) ?? []));
  }
  return false;
}
