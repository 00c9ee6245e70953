import { expect, test } from 'vitest';
import type { EqBand } from '../../../src/dsp/eq-band.ts';
import { nearestBand } from '../../../src/dsp/fit/nearest-band.ts';
import { shelfDb } from '../shelf-in-closed-form.ts';

const FREQUENCY_HZ = Float64Array.from({ length: 30 }, (_, i) => 20 * 2 ** (i / 5));
const SHELF = { frequencyHz: 80, gainDb: -6, q: Math.SQRT1_2 };
const TRIED = [40, 80, 160].flatMap((frequencyHz) =>
  [-3, -6, -9].map((gainDb): EqBand => ({ shape: 'low shelf', frequencyHz, gainDb, q: Math.SQRT1_2 })),
);
const levelDb = FREQUENCY_HZ.map((hz) => shelfDb(SHELF, hz));

test('the shelf that a curve was made of is found among those tried, and nothing is left', () => {
  const { band, misfit } = nearestBand({ frequencyHz: FREQUENCY_HZ, levelDb }, { tried: TRIED });
  expect(band).toEqual({ shape: 'low shelf', ...SHELF });
  expect(misfit).toBeLessThan(1e-9);
});

test('what lies a decibel beside it everywhere misses by a decibel, or by nothing where the level is free', () => {
  const beside = { frequencyHz: FREQUENCY_HZ, levelDb: levelDb.map((db) => db + 1) };
  const [own] = TRIED.filter(({ frequencyHz, gainDb }) => frequencyHz === 80 && gainDb === -6);
  expect(nearestBand(beside, { tried: [own] }).misfit).toBeCloseTo(1, 9);
  expect(nearestBand(beside, { tried: TRIED, levelIsFree: true })).toMatchObject({ band: own });
  expect(nearestBand(beside, { tried: TRIED, levelIsFree: true }).misfit).toBeLessThan(1e-9);
});

test('points of a large standard deviation count for little: 9 dB out at 3 dB are 3, at 90 dB a tenth', () => {
  const wrong = levelDb.map((db, i) => (i < 10 ? db - 9 : db));
  const sigmaDb = (ofWrong: number) => FREQUENCY_HZ.map((_, i) => (i < 10 ? ofWrong : 1));
  const [own] = TRIED.filter(({ frequencyHz, gainDb }) => frequencyHz === 80 && gainDb === -6);
  const curve = { frequencyHz: FREQUENCY_HZ, levelDb: wrong };
  const misfit = (of: number) => nearestBand({ ...curve, sigmaDb: sigmaDb(of) }, { tried: [own] }).misfit;
  expect(misfit(3)).toBeCloseTo(3 * Math.sqrt(10 / 30), 9);
  expect(misfit(90)).toBeCloseTo(0.1 * Math.sqrt(10 / 30), 9);
  expect(nearestBand({ ...curve, sigmaDb: sigmaDb(90) }, { tried: TRIED }).band).toEqual(own);
  expect(nearestBand(curve, { tried: TRIED }).band).not.toEqual(own);
});

test('of none tried there is no nearest', () => {
  expect(() => nearestBand({ frequencyHz: FREQUENCY_HZ, levelDb }, { tried: [] })).toThrow(RangeError);
});
