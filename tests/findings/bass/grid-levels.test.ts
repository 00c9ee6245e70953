import { describe, expect, it } from 'vitest';
import type { BassLevel } from '../../../src/findings/bass/bass-levels.ts';
import { bendDb } from '../../../src/findings/bass/bend.ts';
import {
  commonBand,
  highestLevelDb,
  type LevelProfile,
  levelAround,
  meanLevel,
  strongestLevelDb,
  trustedPoints,
} from '../../../src/findings/bass/level-profile.ts';
import { gridFrequencyHz, gridSpan } from '../../../src/model/frequency-grid.ts';

describe('levels on the grid', () => {
  const profile = (
    db: (hz: number) => number,
    trustedHz: [number, number] | null = [20, 10_000],
    sigma = 0.1,
  ): LevelProfile => ({
    levelDb: gridFrequencyHz.map(db),
    sigmaDb: gridFrequencyHz.map(() => sigma),
    trustedHz,
  });

  it('are read on a slope at the frequency itself: 12 dB an octave, at 100 Hz 12 dB above 50 Hz.', () => {
    const slope = profile((hz) => 12 * Math.log2(hz / 50));
    expect(levelAround(slope, 100)?.value).toBeCloseTo(12, 9);
    expect(levelAround(slope, 107)?.value).toBeCloseTo(12 * Math.log2(2.14), 6);
    expect(levelAround(slope, 19)).toBeNull();
    expect(levelAround(slope, 10_100)).toBeNull();
    expect(
      levelAround(
        profile(() => 0, null),
        100,
      ),
    ).toBeNull();
  });

  it('have the mean of their points, and its doubt: 4.7 points share their noise.', () => {
    const points = [100, 101, 102, 103, 104, 105, 106, 107, 108, 109];
    const mean = meanLevel(
      profile((hz) => (hz < gridFrequencyHz[105] ? 2 : 4)),
      points,
    );
    expect(mean).toEqual({ value: 3, sigma: expect.closeTo((0.1 * Math.sqrt(10 * 4.7)) / 10, 9) });
    expect(
      meanLevel(
        profile(() => 1),
        [100],
      ).sigma,
    ).toBeCloseTo(0.1, 9);
  });

  it('are strongest and highest within what is trusted, noise added.', () => {
    const peak = profile((hz) => (hz > 12_000 ? 20 : hz > 900 && hz < 1100 ? 6 : 0));
    expect(strongestLevelDb(peak)).toBe(6);
    expect(strongestLevelDb(profile(() => 0, null))).toBe(Number.NEGATIVE_INFINITY);
    // One standard deviation of 8.686 dB is as large as the level itself: twice it, and three times with two.
    const unsure = profile(() => 0, [20, 1000], 20 / Math.LN10);
    expect(highestLevelDb(unsure, { frequencyHz: 50, sigmas: 1 })).toBeCloseTo(6.0206, 4);
    expect(highestLevelDb(unsure, { frequencyHz: 50, sigmas: 2 })).toBeCloseTo(9.5424, 4);
  });

  it('lie in bands that meet, at least one point each.', () => {
    expect(commonBand([20, 200], [100, 1000])).toEqual([100, 200]);
    expect(commonBand([20, 100], [100, 1000])).toBeNull();
    expect(commonBand(null, [100, 1000])).toBeNull();
    expect(gridSpan([1000, 1000])).toEqual({ first: 320, last: 320 });
    expect(gridSpan([999, 1016])).toEqual({ first: 320, last: 321 });
    expect(gridSpan([1, 5])).toEqual({ first: 0, last: 0 });
    expect(trustedPoints(profile(() => 0, [1000, 1016]))).toEqual([320, 321]);
    expect(
      trustedPoints(
        profile(() => 0, [1000, 1016]),
        [1010, 5000],
      ),
    ).toEqual([321]);
  });

  it('of a change that bends are off by a 24th of the bend over a sixth of an octave.', () => {
    // A parabola a x^2 over points of the grid: its second difference over 8 points is 128 a.
    const of = (a: number, offset = 0) =>
      ({
        levels: { profile: profile((hz) => a * (160 * Math.log10(hz / 100)) ** 2 + offset) },
      }) as unknown as BassLevel;
    const flat = of(0, 3);
    expect(bendDb({ level: of(0.01), plateau: [flat, flat], frequencyHz: 100 })).toBeCloseTo(1.28 / 24, 9);
    expect(bendDb({ level: of(-0.01), plateau: [flat], frequencyHz: 100 })).toBeCloseTo(1.28 / 24, 9);
    expect(bendDb({ level: of(0.01), plateau: [of(0.01, 5), of(0.01)], frequencyHz: 100 })).toBeCloseTo(0, 9);
  });
});
