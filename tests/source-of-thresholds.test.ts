import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';

/** Sizes of drawings explain themselves in the drawing. */
const DRAWN = ['report/', 'proof/'];
const source = join(import.meta.dirname, '../src');

it('Every number that decides something is explained beside it, or above those that go with it.', () => {
  const files = readdirSync(source, { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith('.ts'),
  );
  const bare = files
    .filter((name) => !DRAWN.some((room) => name.startsWith(room)))
    .flatMap((name) => {
      const lines = readFileSync(join(source, name), 'utf8').split('\n');
      return lines.flatMap((line, i) =>
        isThreshold(line) && !isExplained(lines, i) ? [`${name}:${i + 1} ${line}`] : [],
      );
    });
  expect(bare).toEqual([]);
});

/** `const LEAST_DB = 3;`, `const BAND_HZ = [20, 20_000] as const;` */
function isThreshold(line: string): boolean {
  const value = /^(?:export )?const [A-Z][A-Z0-9_]+(?::[^=]+)? = (.*)$/.exec(line)?.[1] ?? '';
  return /^(?:[-\d[]|(?:r|powerR)atioOf\()/.test(value) && /\d/.test(value);
}

/** Behind it, or above the run of constants in which it stands. */
function isExplained(lines: readonly string[], i: number): boolean {
  if (lines[i].includes('//')) return true;
  let above = i - 1;
  while (/^(?:export )?const [A-Z]/.test(lines[above] ?? '')) above--;
  return /\*\/$|^\/\//.test(lines[above] ?? '');
}
