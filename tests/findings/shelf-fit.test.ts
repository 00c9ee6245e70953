import { expect, test } from 'vitest';
import { evaluateOnGrid, lowShelfSections } from '../../src/dsp/filter-prototype.ts';
import { DEEPEST_SHELF_DB, fitShelves, shelfDb } from '../../src/findings/shelf-fit.ts';

const FREQUENCY_HZ = Float64Array.from({ length: 46 }, (_, i) => 14 * 2 ** (i / 8));

function curveOf(levelDb: (hz: number) => number, setting = 30) {
  return {
    setting,
    frequencyHz: FREQUENCY_HZ,
    changeDb: FREQUENCY_HZ.map(levelDb),
    sigmaDb: FREQUENCY_HZ.map(() => 0.05),
  };
}

test('the closed form of the shelf agrees with its prototype (W3C Audio EQ Cookbook)', () => {
  for (const q of [0.4, Math.SQRT1_2, 1.2])
    for (const gainDb of [-20, -9, -2]) {
      const at = { frequencyHz: FREQUENCY_HZ, cornerHz: 80, sampleRateHz: null };
      const { real, imag } = evaluateOnGrid(lowShelfSections({ gainDb, q }), at);
      FREQUENCY_HZ.forEach((hz, i) => {
        const expected = 20 * Math.log10(Math.hypot(real[i], imag[i]));
        expect(shelfDb({ frequencyHz: 80, gainDb, q }, hz)).toBeCloseTo(expected, 9);
      });
    }
});

test('a shelf without noise is found again, and its offset does not matter', () => {
  for (const frequencyHz of [40, 76, 140])
    for (const gainDb of [-2, -9, -18])
      for (const q of [0.45, Math.SQRT1_2, 1.1]) {
        const { sumOfSquares, shelves } = fitShelves([
          curveOf((hz) => shelfDb({ frequencyHz, gainDb, q }, hz) + 0.4),
        ]);
        expect(sumOfSquares).toBeLessThan(0.01);
        expect(shelves[0].frequencyHz / frequencyHz).toBeCloseTo(1, 2);
        expect(shelves[0].gainDb).toBeCloseTo(gainDb, 1);
        expect(shelves[0].q).toBeCloseTo(q, 1);
      }
});

test('settings are fitted each by itself', () => {
  const [first, second] = [
    { frequencyHz: 60, gainDb: -4, q: 0.5 },
    { frequencyHz: 90, gainDb: -12, q: 1 },
  ];
  const { shelves } = fitShelves([
    curveOf((hz) => shelfDb(first, hz), 26),
    curveOf((hz) => shelfDb(second, hz)),
  ]);
  expect(shelves[0].frequencyHz).toBeCloseTo(60, 0);
  expect(shelves[1].frequencyHz).toBeCloseTo(90, 0);
});

test('a loss without a bottom drives the shelf to its deepest, or does not fit', () => {
  const orderTwo = (hz: number) => -10 * Math.log10(1 + (95 / hz) ** 4);
  const { sumOfSquares, shelves } = fitShelves([curveOf(orderTwo)]);
  expect(shelves[0].gainDb).toBeCloseTo(DEEPEST_SHELF_DB, 6);
  expect(sumOfSquares / FREQUENCY_HZ.length).toBeGreaterThan(100);
});
