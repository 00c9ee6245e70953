import { expect, test } from 'vitest';
import { DEEPEST_SHELF_DB, fitShelves } from '../../../src/findings/bass/shelf-fit.ts';
import { shelfDb } from '../../dsp/shelf-in-closed-form.ts';

const FREQUENCY_HZ = Float64Array.from({ length: 46 }, (_, i) => 14 * 2 ** (i / 8));

function curveOf(levelDb: (hz: number) => number, setting = 30) {
  return {
    setting,
    frequencyHz: FREQUENCY_HZ,
    changeDb: FREQUENCY_HZ.map(levelDb),
    sigmaDb: FREQUENCY_HZ.map(() => 0.05),
  };
}

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

test('a shallow shelf is found from a tap that hardly carries its bottom', () => {
  // Radio 1005142 of `random-factory.ts`, 53 dB: -2.26 dB at 66 Hz, Q 0.66, seen through a high-pass at 110 Hz. From one start the
  // fit ended at the skirt of a shelf at 20 Hz, three times as far off.
  const frequencyHz = Float64Array.of(
    28,
    30,
    33,
    36,
    39,
    43,
    47,
    51,
    55,
    60,
    66,
    72,
    78,
    85,
    93,
    101,
    111,
    121,
    131,
    143,
    156,
    170,
    186,
    202,
    221,
    241,
  );
  const changeDb = Float64Array.of(
    -1.86,
    -2.22,
    -2.4,
    -1.84,
    -2.17,
    -1.5,
    -1.65,
    -1.62,
    -1.42,
    -1.28,
    -1.14,
    -0.93,
    -0.82,
    -0.66,
    -0.53,
    -0.42,
    -0.33,
    -0.26,
    -0.2,
    -0.16,
    -0.11,
    -0.09,
    -0.07,
    -0.05,
    -0.04,
    -0.03,
  );
  const loud = new Float64Array(frequencyHz.length - 10).fill(0.05);
  const sigmaDb = Float64Array.of(0.66, 0.52, 0.4, 0.28, 0.18, 0.13, 0.1, 0.08, 0.07, 0.06, ...loud);
  const { sumOfSquares, shelves } = fitShelves([{ setting: 31, frequencyHz, changeDb, sigmaDb }]);
  expect(sumOfSquares).toBeLessThan(frequencyHz.length);
  expect(shelves[0].frequencyHz).toBeGreaterThan(60);
  expect(shelves[0].frequencyHz).toBeLessThan(72);
  expect(shelves[0].gainDb).toBeCloseTo(-2.2, 0);
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
