import { expect, test } from 'vitest';
import type { Carries } from '../../../src/findings/band/carried-response.ts';
import { findCrossovers } from '../../../src/findings/band/crossover.ts';
import { type FittedTap, fitTap } from '../../../src/findings/band/fitted-tap.ts';
import { type ExactTap, exactMeasurement, seeded } from '../exact-responses.ts';

const lowPass = (cornerHz: number) =>
  ({ side: 'low-pass', family: 'linkwitz-riley', order: 4, cornerHz }) as const;
const highPass = (cornerHz: number) =>
  ({ side: 'high-pass', family: 'linkwitz-riley', order: 4, cornerHz }) as const;

function fitted(taps: Record<string, ExactTap & { carries?: Carries }>): FittedTap[] {
  const random = seeded(9);
  return Object.entries(taps).map(([tapId, { carries = 'left', ...tap }]) => {
    const measurements = [
      exactMeasurement({
        tapId,
        left: carries === 'right' ? null : tap,
        right: carries === 'left' ? null : tap,
        snrDb: 60,
        random,
      }),
    ];
    return fitTap({ tapId, carries, measurements, ceilingHz: null }) as FittedTap;
  });
}

test('a three-way split has two crossovers, each where both taps are 6 dB down (Linkwitz-Riley: at the corner)', () => {
  const found = findCrossovers(
    fitted({
      sub: { edges: [lowPass(80)], carries: 'left and right' },
      woofer: { edges: [highPass(80), lowPass(2500)] },
      tweeter: { edges: [highPass(2500)], gainDb: -4 },
    }),
  );
  expect(found.map(({ lowTapId, highTapId }) => [lowTapId, highTapId])).toEqual([
    ['sub', 'woofer'],
    ['woofer', 'tweeter'],
  ]);
  expect(found[0].frequencyHz.value / 80).toBeCloseTo(1, 2);
  expect(found[1].frequencyHz.value / 2500).toBeCloseTo(1, 2);
});

test('taps of different sides, far apart, or full range make no pair', () => {
  const found = findCrossovers(
    fitted({
      left: { edges: [lowPass(2500)] },
      right: { edges: [highPass(2500)], carries: 'right' },
      far: { edges: [highPass(6000)] },
      full: { eq: [{ kind: 'low shelf', frequencyHz: 100, gainDb: -8, q: 0.7 }] },
    }),
  );
  expect(found).toEqual([]);
});

test('corners that overlap cross where their skirts meet, between both', () => {
  const [pair] = findCrossovers(
    fitted({ low: { edges: [lowPass(2000)] }, high: { edges: [highPass(2400)] } }),
  );
  // Mirror images on a logarithmic axis meet at the geometric mean.
  expect(pair.frequencyHz.value / Math.sqrt(2000 * 2400)).toBeCloseTo(1, 2);
});
