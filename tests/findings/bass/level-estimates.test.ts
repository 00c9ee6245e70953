import { describe, expect, it } from 'vitest';
import {
  commonBand,
  highestLevelDb,
  type LevelProfile,
  levelAround,
  levelProfile,
  meanLevel,
  noiseCorrelation,
  strongestLevelDb,
  trustedPoints,
} from '../../../src/findings/bass/level-profile.ts';
import { gridFrequencyHz, gridSpan } from '../../../src/model/frequency-grid.ts';
import type { FrequencyResponse } from '../../../src/model/response.ts';

const COUNT = gridFrequencyHz.length;
const profile = (
  db: (hz: number, i: number) => number,
  { sigma = 0.1, trustedHz = [20, 10_000] as readonly [number, number] | null } = {},
): LevelProfile => ({
  levelDb: gridFrequencyHz.map(db),
  sigmaDb: new Float64Array(COUNT).fill(sigma),
  trustedHz,
});

describe('a level and its noise', () => {
  it('are 20 log of the magnitude, and 8.686 dB for a relative error of one.', () => {
    const response: FrequencyResponse = {
      real: new Float64Array(COUNT).fill(0.3),
      imag: new Float64Array(COUNT).fill(0.4),
      sigma: new Float64Array(COUNT).fill(0.005),
      trustedHz: [20, 100],
    };
    const { levelDb, sigmaDb, trustedHz } = levelProfile(response);
    expect(levelDb[9]).toBeCloseTo(20 * Math.log10(0.5), 9);
    expect(sigmaDb[9]).toBeCloseTo(0.0868589, 6);
    expect(trustedHz).toEqual([20, 100]);
  });

  it('around a frequency are those of a straight line through a sixth of an octave.', () => {
    const sloped = levelAround(
      profile((hz) => 6 * Math.log2(hz / 100)),
      80,
    )!;
    expect(sloped.value).toBeCloseTo(6 * Math.log2(0.8), 6);
    // A peak of one point among nine counts a ninth.
    const at = gridFrequencyHz.findIndex((hz) => hz >= 100);
    const nine = gridSpan([gridFrequencyHz[at] * 2 ** (-1 / 12), gridFrequencyHz[at] * 2 ** (1 / 12)]);
    const peak = levelAround(
      profile((_, i) => (i === at ? 1 : 0)),
      gridFrequencyHz[at],
    )!;
    expect(peak.value).toBeCloseTo(1 / (nine.last - nine.first + 1), 6);
    expect(
      levelAround(
        profile(() => 0),
        19,
      ),
    ).toBeNull();
    expect(
      levelAround(
        profile(() => 0),
        10_100,
      ),
    ).toBeNull();
    expect(
      levelAround(
        profile(() => 0, { trustedHz: null }),
        100,
      ),
    ).toBeNull();
  });

  it('around a frequency average less than independent points would, for neighbours share their noise.', () => {
    const { sigma } = levelAround(
      profile(() => 0),
      1000,
    )!;
    expect(sigma).toBeLessThan(0.1);
    expect(sigma).toBeGreaterThan(0.1 / 3);
    expect(
      levelAround(
        profile(() => 0, { sigma: 0.2 }),
        1000,
      )!.sigma,
    ).toBeCloseTo(2 * sigma, 9);
    expect(noiseCorrelation(200, 200)).toBe(1);
    expect(noiseCorrelation(200, 201)).toBeLessThan(1);
    expect(noiseCorrelation(200, 202)).toBeLessThan(noiseCorrelation(200, 201));
    expect(Math.abs(noiseCorrelation(200, 220))).toBeLessThan(0.01);
    expect(noiseCorrelation(201, 200)).toBeCloseTo(noiseCorrelation(200, 201), 9);
  });

  it('over many points are their mean; 4.7 of them count as one.', () => {
    const points = Array.from({ length: 47 }, (_, i) => 100 + i);
    const mean = meanLevel(
      profile((_, i) => i),
      points,
    );
    expect(mean.value).toBeCloseTo(123, 9);
    expect(mean.sigma).toBeCloseTo(0.1 / Math.sqrt(10), 9);
    expect(
      meanLevel(
        profile(() => 0),
        [7, 9],
      ).sigma,
    ).toBeCloseTo(0.1, 9);
  });

  it('stay below magnitude and so many standard deviations of it, wherever it is trusted.', () => {
    const at = (sigmas: number) =>
      highestLevelDb(
        profile(() => 20 * Math.log10(0.5), { sigma: 8.685889638 * 0.1, trustedHz: null }),
        { frequencyHz: 50, sigmas },
      );
    expect(at(0)).toBeCloseTo(20 * Math.log10(0.5), 6);
    expect(at(3)).toBeCloseTo(20 * Math.log10(0.65), 6);
    const peak = profile((hz) => (hz > 105 ? 0 : hz > 97 && hz < 103 ? -3 : -20), { sigma: 0 });
    expect(highestLevelDb(peak, { frequencyHz: 100, sigmas: 2 })).toBeCloseTo(0, 6);
    expect(highestLevelDb(peak, { frequencyHz: 98, sigmas: 2 })).toBeCloseTo(-3, 6);
  });
});

describe('where a level can be used', () => {
  it('is within the trusted band, and another where one is given.', () => {
    const flat = profile((hz) => (hz > 15_000 ? 10 : hz < 30 ? 5 : 0));
    expect(strongestLevelDb(flat)).toBe(5);
    expect(strongestLevelDb(profile(() => 0, { trustedHz: null }))).toBe(Number.NEGATIVE_INFINITY);
    const points = trustedPoints(flat, [5000, 15_000]);
    expect(gridFrequencyHz[points[0]]).toBeGreaterThanOrEqual(5000);
    expect(gridFrequencyHz[points.at(-1)!]).toBeLessThanOrEqual(10_000);
    expect(points).toHaveLength(points.at(-1)! - points[0] + 1);
    expect(trustedPoints(flat, [11_000, 15_000])).toEqual([]);
    expect(trustedPoints(flat)[0]).toBe(gridFrequencyHz.findIndex((hz) => hz >= 20));
  });

  it('is what two bands have in common; between two points of the grid there is nothing.', () => {
    expect(commonBand([20, 200], [100, 1000])).toEqual([100, 200]);
    expect([commonBand([20, 100], [100, 1000]), commonBand(null, [1, 2]), commonBand([1, 2], null)]).toEqual([
      null,
      null,
      null,
    ]);
    const { first, last } = gridSpan([gridFrequencyHz[40], gridFrequencyHz[60]]);
    expect([first, last]).toEqual([40, 60]);
    const between = gridSpan([gridFrequencyHz[40] * 1.001, gridFrequencyHz[40] * 1.002]);
    expect(between).toEqual({ first: 41, last: 40 });
    expect(gridSpan([1, 2])).toEqual({ first: 0, last: 0 });
    expect(gridSpan([90_000, 99_000])).toEqual({ first: COUNT - 1, last: COUNT - 1 });
  });
});
