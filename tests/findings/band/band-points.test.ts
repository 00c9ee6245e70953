import { expect, test } from 'vitest';
import { findTiming } from '../../../src/findings/arrival/timing.ts';
import { findBand } from '../../../src/findings/band/band.ts';
import { outermostCrossingHz } from '../../../src/findings/band/band-points.ts';
import { findCrossovers } from '../../../src/findings/band/crossover.ts';
import { type FittedTap, fitTap } from '../../../src/findings/band/fitted-tap.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { type ExactTap, exactMeasurement, seeded } from '../exact-responses.ts';

test.each([1, 2, 4, 8])(
  'the half-power point of a Butterworth filter of order %i is its corner to 20 millionths, wherever it lies on the grid',
  (order) => {
    for (const cornerHz of [81.3, 134.874, 613.9, 2000.5]) {
      // |H|^2 = 1 / (1 + (f / fc)^2n): Butterworth, Wireless Engineer 7 (1930).
      const levelDb = gridFrequencyHz.map((hz) => -10 * Math.log10(1 + (hz / cornerHz) ** (2 * order)));
      const found = outermostCrossingHz(levelDb, {
        thresholdDb: -10 * Math.log10(2),
        side: 'high',
        rangeHz: [12, 19_000],
      });
      expect(Math.abs(found! / cornerHz - 1)).toBeLessThan(2e-5);
    }
  },
);

test('an edge beside EQ that no radio has is not named, makes no pair, and leaves the arrival unknown', () => {
  const random = seeded(12);
  const fitted = (tapId: string, left: ExactTap) =>
    fitTap({
      tapId,
      carries: 'left',
      measurements: [exactMeasurement({ tapId, left, snrDb: 60, random })],
      ceilingHz: null,
    }) as FittedTap;
  const high = fitted('high', {
    edges: [{ side: 'high-pass', family: 'butterworth', order: 2, cornerHz: 2000 }],
  });
  const low = fitted('low', {
    edges: [{ side: 'low-pass', family: 'butterworth', order: 2, cornerHz: 2000 }],
    eq: [{ kind: 'low shelf', frequencyHz: 300, gainDb: 19, q: 0.7 }],
  });
  const { verdict, highEdge } = findBand(low);
  expect(verdict).toBe('band-limited');
  // Its points are read from the measured level; what is fitted is not told.
  expect(highEdge!.slopeDbPerOctave).toHaveProperty('notMeasurable');
  expect(highEdge!.filter).toHaveProperty('notMeasurable');
  expect(findCrossovers([low, high])).toEqual([]);
  const [timing] = findTiming({ taps: [low, high], referenceTapId: 'high' });
  expect(timing.delaySeconds).toHaveProperty('notMeasurable');
  expect(timing.delaySeconds).toHaveProperty('recordNext');
});
