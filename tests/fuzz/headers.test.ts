import { describe, expect, it } from 'vitest';
import { openWav } from '../../src/audio/read-wav.ts';
import type { Random } from '../../src/dsp/random.ts';
import { ds64, extensibleFmt, fmt, riff, sourceOf, u32 } from '../audio/wav-bytes.ts';
import { outcomeOf, TIMEOUT, tryOut } from './try-out.ts';

/** A case takes a tenth of a millisecond. */
const FEWEST = 3000;
/** Numbers that headers go wrong with: nothing, all ones, signs, and sizes next to the file's own. */
const NASTY = [
  0, 1, 2, 3, 7, 0x7f, 0x80, 0xff, 0x7fff, 0xffff, 0x7fffffff, 0x80000000, 0xfffffff8, 0xffffffff,
];

describe('openWav under damage', () => {
  it('opens, or refuses with a SteptoneError, every file with a damaged header', { timeout: TIMEOUT }, () => {
    const outcomes = tryOut('headers', (random) => readSome(damaged(random)), FEWEST);
    // Every kind of answer came up, so that the damage reached every part of the reader.
    expect([...outcomes.keys()].sort()).toEqual([
      'not-wav',
      'sample-rate',
      'used',
      'wav-damaged',
      'wav-unsupported',
    ]);
  });

  it('gives up on a megabyte of empty chunks after a few thousand reads', () => {
    const bytes = riff(new Array(131_072).fill({ id: 'JUNK', body: [] }));
    const source = sourceOf(bytes);
    let reads = 0;
    const read = (offset: number, target: Uint8Array) => {
      reads++;
      return source.read(offset, target);
    };
    expect(() => openWav({ ...source, read })).toThrow(expect.objectContaining({ code: 'wav-damaged' }));
    expect(reads).toBeLessThan(3000);
  });

  it('survives a file that is cut at every one of its first 200 bytes', () => {
    for (const file of seedFiles) {
      for (let length = 0; length < 200; length++) {
        expect(['not-wav', 'wav-damaged', 'used']).toContain(
          outcomeOf(() => readSome(file.slice(0, length)), `cut at ${length}`),
        );
      }
    }
  });
});

const sound = { id: 'data', body: Uint8Array.from({ length: 3000 }, (_, i) => (i * 37) & 0xff) };
const seedFiles = [
  riff([fmt({ bits: 16, channels: 2 }), sound]),
  riff([
    { id: 'bext', body: new Uint8Array(33) },
    fmt({ bits: 24, channels: 2 }),
    { id: 'LIST', body: [1, 2, 3] },
    sound,
  ]),
  riff([extensibleFmt({ subTag: 3, bits: 32, channels: 4 }), { id: 'fact', body: u32(187) }, sound]),
  riff([ds64(3000), extensibleFmt({ subTag: 1, bits: 24 }), { ...sound, statedBytes: 0xffffffff }], {
    id: 'RF64',
  }),
];

function damaged({ uniform }: Random): Uint8Array {
  const below = (limit: number) => Math.floor(uniform() * limit);
  const bytes = seedFiles[below(seedFiles.length)].slice(0, 40 + below(4000));
  for (let damage = 1 + below(4); damage > 0; damage--) {
    const at = below(Math.min(bytes.length, 120));
    const kind = below(4);
    if (kind === 0) bytes[at] = below(256);
    else if (kind === 1) bytes.set(u32(NASTY[below(NASTY.length)]).slice(0, bytes.length - at), at);
    else if (kind === 2) bytes.copyWithin(at, below(120), below(120));
    else
      bytes.set(
        bytes.subarray(at, at + 4).map((byte) => byte ^ (1 << below(8))),
        at,
      );
  }
  return bytes;
}

/** What opens has samples, and they are numbers. */
function readSome(bytes: Uint8Array): void {
  const opened = openWav(sourceOf(bytes));
  expect(opened.length).toBeGreaterThan(0);
  expect(opened.length).toBeLessThanOrEqual(bytes.length);
  const part = opened.readSection({ start: 0, count: 8 });
  expect(part).toHaveLength(opened.channelCount);
  expect(part.every((channel) => channel.every(Number.isFinite))).toBe(true);
}
