import type { Random } from '../../src/dsp/random.ts';

/** Values that programs go wrong with: nothing, ends of ranges, signs, other kinds, texts that mean something elsewhere. */
const NASTY: readonly unknown[] = [
  null,
  true,
  0,
  -0,
  -1,
  0.5,
  1e-320,
  1e9,
  1e308,
  -1e308,
  2 ** 31,
  Number.MAX_SAFE_INTEGER,
  '',
  ' ',
  'NaN',
  '1e999',
  '10-38/4',
  '-',
  '*',
  '../../etc/passwd',
  '<script>alert(1)</script>',
  '{{body}}',
  '__proto__',
  'constructor',
  '\u0000',
  '\u202e',
  'x'.repeat(5000),
  [],
  {},
  [[]],
];

/** A copy of plain data with one to three places spoilt: another value, a part left out, doubled, or put elsewhere. */
export function spoil(data: unknown, { uniform }: Random): unknown {
  const copy = structuredClone(data);
  const below = (limit: number) => Math.floor(uniform() * limit);
  for (let times = 1 + below(3); times > 0; times--) {
    const [parent, key] = placeIn(copy, below);
    if (parent === null) break;
    const kind = below(6);
    const list = Array.isArray(parent) ? parent : null;
    if (kind === 0 && list !== null) list.splice(Number(key), 1);
    else if (kind === 0) delete parent[key];
    else if (kind === 1 && list !== null) list.splice(Number(key), 0, structuredClone(parent[key]));
    else if (kind === 2) {
      const [other, otherKey] = placeIn(copy, below);
      if (other !== null) parent[key] = structuredClone(other[otherKey]);
    } else if (kind === 3 && typeof parent[key] === 'number') parent[key] *= [-1, 10, 1e-9, 1e9][below(4)];
    else parent[key] = structuredClone(NASTY[below(NASTY.length)]);
  }
  return copy;
}

// biome-ignore lint/suspicious/noExplicitAny: any plain data
type Group = Record<string, any>;

/** Some place in it: a step down at each level, until chance or a leaf ends the way. */
function placeIn(data: unknown, below: (limit: number) => number): [Group, string] | [null, ''] {
  let at = data as Group;
  for (;;) {
    const keys = typeof at === 'object' && at !== null ? Object.keys(at) : [];
    if (keys.length === 0) return [null, ''];
    const key = keys[below(keys.length)];
    const inside = at[key];
    const isGroup = typeof inside === 'object' && inside !== null && Object.keys(inside).length > 0;
    if (!isGroup || below(6) === 0) return [at, key];
    at = inside;
  }
}

/** A text with up to three letters changed, left out or put in. */
export function slip(text: string, { uniform }: Random): string {
  const below = (limit: number) => Math.floor(uniform() * limit);
  let spoilt = text;
  for (let times = 1 + below(3); times > 0; times--) {
    const at = below(spoilt.length + 1);
    const letter = below(8) === 0 ? '\n' : String.fromCharCode(32 + below(95));
    spoilt = spoilt.slice(0, at) + letter + spoilt.slice(at + below(4));
  }
  return spoilt;
}
