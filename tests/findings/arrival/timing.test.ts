import { expect, test } from 'vitest';
import { findTiming } from '../../../src/findings/arrival/timing.ts';
import type { Measured } from '../../../src/model/measured.ts';
import { fitted } from './fitted-taps.ts';

const HIGH_PASS = { side: 'high-pass', family: 'butterworth', order: 2, cornerHz: 3000 } as const;
const LOW_PASS = { side: 'low-pass', family: 'linkwitz-riley', order: 4, cornerHz: 3000 } as const;
const SUB = { side: 'low-pass', family: 'linkwitz-riley', order: 4, cornerHz: 80 } as const;

function microseconds(finding: { delaySeconds: object }): Measured {
  const { value, plusMinus } = finding.delaySeconds as Measured;
  return { value: 1e6 * value, plusMinus: 1e6 * plusMinus };
}

test('delay and polarity of full-range taps, whatever their EQ, are right within 3 microseconds at 60 dB', () => {
  const eq = [{ kind: 'peak', frequencyHz: 2000, gainDb: 5, q: 1.5 }] as const;
  const taps = fitted(
    {
      ref: { delaySeconds: 0.01 },
      same: { delaySeconds: 0.010_25 },
      inverted: { delaySeconds: 0.009_9, inverted: true },
      equalised: { delaySeconds: 0.010_031, eq, inverted: true, sampleRateHz: 48_000 },
    },
    { snrDb: 60, seed: 1 },
  );
  const found = findTiming({ taps, referenceTapId: 'ref' });
  expect(found.map(({ tapId, polarity }) => [tapId, polarity])).toEqual([
    ['same', 'same'],
    ['inverted', 'inverted'],
    ['equalised', 'inverted'],
  ]);
  [250, -100, 31].forEach((truth, i) => {
    expect(Math.abs(microseconds(found[i]).value - truth)).toBeLessThan(3);
    expect(microseconds(found[i]).plusMinus).toBeLessThan(3);
  });
});

test('band-split taps are compared after their own filters, at 60 and at 40 dB', () => {
  const taps = {
    full: { delaySeconds: 0.004 },
    tweeter: { edges: [HIGH_PASS], delaySeconds: 0.004_12, inverted: true, sampleRateHz: 48_000 },
    woofer: { edges: [LOW_PASS], delaySeconds: 0.004_05, sampleRateHz: 48_000 },
    sub: { edges: [SUB], delaySeconds: 0.006, inverted: true },
  };
  for (const { snrDb, limit } of [
    { snrDb: 60, limit: [3, 3, 3] },
    { snrDb: 40, limit: [3, 24, 60] },
  ]) {
    const found = findTiming({ taps: fitted(taps, { snrDb, seed: 2 }), referenceTapId: 'full' });
    expect(found.map(({ polarity }) => polarity)).toEqual(['inverted', 'same', 'inverted']);
    [120, 50, 2000].forEach((truth, i) => {
      expect(Math.abs(microseconds(found[i]).value - truth)).toBeLessThan(limit[i]);
    });
  }
});

test('without a named reference the widest tap is it', () => {
  const taps = fitted(
    { sub: { edges: [SUB] }, full: {}, tweeter: { edges: [HIGH_PASS] } },
    { snrDb: 50, seed: 3 },
  );
  expect(
    findTiming({ taps, referenceTapId: null }).every(({ referenceTapId }) => referenceTapId === 'full'),
  ).toBe(true);
});

test('taps that never share a time zero are not compared, and the linking take is asked for', () => {
  const taps = fitted(
    { a: {}, b: {} },
    { snrDb: 60, seed: 4, origin: (tapId, setting) => `${tapId} ${setting}` },
  );
  const [timing] = findTiming({ taps, referenceTapId: 'a' });
  expect(timing.polarity).toBe('ambiguous');
  expect(timing.delaySeconds).toHaveProperty('notMeasurable');
  expect(timing.delaySeconds).toHaveProperty('recordNext');
});

test('a third tap in both files links two taps that never met', () => {
  const taps = fitted(
    { ref: {}, link: { delaySeconds: 0.000_2 }, far: { delaySeconds: 0.000_5, inverted: true } },
    // Setting 14: reference and link; setting 20: link and far; 26: each alone.
    {
      snrDb: 60,
      seed: 5,
      origin: (tapId, setting) =>
        setting === 14
          ? tapId === 'far'
            ? 'far 14'
            : 'one'
          : setting === 20
            ? tapId === 'ref'
              ? 'ref 20'
              : 'two'
            : tapId,
    },
  );
  const far = findTiming({ taps, referenceTapId: 'ref' }).find(({ tapId }) => tapId === 'far')!;
  expect(Math.abs(microseconds(far).value - 500)).toBeLessThan(3);
  expect(far.polarity).toBe('inverted');
});

test('a delay that is moved moves the finding by as much and nothing else; a swap of the two taps turns its sign', () => {
  const [early, late] = [0.004, 0.004_345].map((delaySeconds) =>
    fitted(
      { ref: { delaySeconds: 0.004 }, tap: { edges: [HIGH_PASS], delaySeconds } },
      { snrDb: 60, seed: 6 },
    ),
  );
  const [a, b] = [early, late].map((taps) => findTiming({ taps, referenceTapId: 'ref' })[0]);
  expect(microseconds(b).value - microseconds(a).value).toBeCloseTo(345, 0);
  expect(b.polarity).toBe(a.polarity);
  const swapped = findTiming({ taps: late, referenceTapId: 'tap' })[0];
  expect(microseconds(swapped).value).toBeCloseTo(-microseconds(b).value, 6);
});
