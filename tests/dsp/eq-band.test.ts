import { expect, test } from 'vitest';
import { bandsDb, type EqBand } from '../../src/dsp/eq-band.ts';
import { shelfDb } from './shelf-in-closed-form.ts';

const FREQUENCY_HZ = Float64Array.from({ length: 46 }, (_, i) => 14 * 2 ** (i / 8));
const band = (shape: EqBand['shape'], gainDb: number, q = Math.SQRT1_2): EqBand => ({
  shape,
  frequencyHz: 80,
  gainDb,
  q,
});

test('low and high shelves agree with the closed form (W3C Audio EQ Cookbook)', () => {
  for (const q of [0.4, Math.SQRT1_2, 1.2])
    for (const gainDb of [-20, -9, 6]) {
      const low = bandsDb([band('low shelf', gainDb, q)], FREQUENCY_HZ);
      const high = bandsDb([band('high shelf', gainDb, q)], FREQUENCY_HZ);
      FREQUENCY_HZ.forEach((hz, i) => {
        expect(low[i]).toBeCloseTo(shelfDb({ frequencyHz: 80, gainDb, q }, hz), 9);
        expect(high[i]).toBeCloseTo(shelfDb({ frequencyHz: 80, gainDb, q }, 80 ** 2 / hz), 9);
      });
    }
});

test('a shelf has its depth far below, half of it in decibels at its frequency, nothing far above', () => {
  const at = Float64Array.of(1, 80, 10_000);
  const [below, middle, above] = bandsDb([band('low shelf', -8)], at);
  expect(below).toBeCloseTo(-8, 3);
  expect(middle).toBeCloseTo(-4, 9);
  expect(above).toBeCloseTo(0, 3);
  // A higher Q overshoots on both sides.
  const [under, over] = bandsDb([band('low shelf', -8, 1.2)], Float64Array.of(40, 160));
  expect(under).toBeLessThan(-8.3);
  expect(over).toBeGreaterThan(0.3);
});

test('a peak has its gain at its frequency, and bands add up in decibels', () => {
  const peak = band('peak', 5, 2);
  const [far, at] = bandsDb([peak], Float64Array.of(1, 80));
  expect(far).toBeCloseTo(0, 2);
  expect(at).toBeCloseTo(5, 9);
  const both = bandsDb([peak, band('low shelf', -8)], Float64Array.of(80));
  expect(both[0]).toBeCloseTo(5 - 4, 9);
});
