import { describe, expect, test } from 'vitest';
import {
  highestLevelDb,
  levelAround,
  levelProfile,
  meanLevel,
  noiseCorrelation,
  strongPoints,
  trustedPoints,
} from '../../../src/findings/bass/level-profile.ts';
import { gridFrequencyHz, gridPosition } from '../../../src/model/frequency-grid.ts';
import { measurementsOf, pass } from '../synthetic.ts';
import { seededRandom } from '../synthetic-noise.ts';

test('the correlation of neighbouring points is that of the smoothing kernel with itself', () => {
  // numpy: w = (1.5 - d*d/2)*exp(-d*d/2) on d = linspace(-12, 12, 4801); np.convolve(w, w), normalised, at d = 0.5, 1, 2, 3.
  const expected = [0.87906882, 0.5841005873, 0.0408754935, -0.061482881];
  const one = Math.round(gridPosition(100));
  const kernelSigmaHz = 1 / (2 * Math.PI * 0.05); // 5 cycles of 100 Hz
  [0.5, 1, 2, 3].forEach((distance, i) => {
    // The closed form holds between points of the grid; it is asked at the nearest and compared on the line between two.
    const at = gridPosition(100 + distance * kernelSigmaHz);
    const [below, above] = [noiseCorrelation(one, Math.floor(at)), noiseCorrelation(one, Math.ceil(at))];
    expect(below + (at % 1) * (above - below)).toBeCloseTo(expected[i], 1);
  });
  expect(noiseCorrelation(one, one)).toBe(1);
});

test('stated standard deviations are those of repeated takes', () => {
  const radio = { gainDb: () => -20, snrDb: 30 };
  const values = Array.from({ length: 150 }, (_, seed) => {
    const [{ left }] = measurementsOf({ radio, settings: [1], random: seededRandom(seed) });
    const profile = levelProfile(left);
    return {
      around: levelAround(profile, 63)!,
      middle: meanLevel(profile, trustedPoints(profile, [300, 3000])),
    };
  });
  for (const pick of ['around', 'middle'] as const) {
    const mean = values.reduce((sum, entry) => sum + entry[pick].value, 0) / values.length;
    const spread = Math.sqrt(
      values.reduce((sum, entry) => sum + (entry[pick].value - mean) ** 2, 0) / (values.length - 1),
    );
    expect(mean).toBeCloseTo(-20, 1);
    // Standard deviation of 150 values is known to 6 % (1 / sqrt(2n)).
    expect(spread / values[0][pick].sigma).toBeGreaterThan(0.8);
    expect(spread / values[0][pick].sigma).toBeLessThan(1.2);
  }
});

test('a level on a steep slope is read at its frequency, not beside it', () => {
  // Butterworth order 4 is 3.0103 dB down at its corner.
  const radio = {
    gainDb: () => 0,
    filters: () => [pass('high-pass', 63, { order: 4, family: 'butterworth' as const })],
  };
  const [{ left }] = measurementsOf({ radio, settings: [1] });
  expect(levelAround(levelProfile(left), 63)!.value).toBeCloseTo(-3.0103, 1);
  expect(gridFrequencyHz.length).toBeGreaterThan(500);
});

describe('levels on the grid', () => {
  const N = gridFrequencyHz.length;
  const profileOf = (of: {
    real?: (hz: number) => number;
    imag?: number;
    sigma?: number;
    trustedHz?: readonly [number, number] | null;
  }) =>
    levelProfile({
      real: gridFrequencyHz.map(of.real ?? (() => 1)),
      imag: new Float64Array(N).fill(of.imag ?? 0),
      sigma: new Float64Array(N).fill(of.sigma ?? 0),
      trustedHz: of.trustedHz === undefined ? [20, 20_000] : of.trustedHz,
    });

  test('are those of the modulus, with the error that a part in a hundred makes: 0.0869 dB (20 / ln 10 of it)', () => {
    const { levelDb, sigmaDb } = profileOf({ real: () => 3, imag: 4, sigma: 0.05 });
    expect(levelDb[100]).toBeCloseTo(13.9794, 4);
    expect(sigmaDb[100]).toBeCloseTo(0.086859, 6);
  });

  test('stay below what noise could add, within a twelfth of an octave on either side', () => {
    const near = 2 ** (1 / 13);
    const far = 2 ** (1 / 10);
    const below = (atHz: number) =>
      highestLevelDb(
        profileOf({ real: (hz) => (Math.abs(Math.log(hz / atHz)) < 0.008 ? 0.5 : 0.1), sigma: 0.01 }),
        { frequencyHz: 1000, sigmas: 3 },
      );
    // Three times a tenth of 0.1 on top of 0.1; of 0.5 where that is near.
    expect(below(5000)).toBeCloseTo(20 * Math.log10(0.13), 6);
    expect(below(1000 * near)).toBeCloseTo(20 * Math.log10(0.53), 6);
    expect(below(1000 / near)).toBeCloseTo(20 * Math.log10(0.53), 6);
    expect(below(1000 * far)).toBeCloseTo(20 * Math.log10(0.13), 6);
    expect(below(1000 / far)).toBeCloseTo(20 * Math.log10(0.13), 6);
  });

  test('are strong within so much of the strongest that is trusted', () => {
    const profile = profileOf({ real: (hz) => (hz < 30 ? 100 : hz < 300 ? 1 : 0.4), trustedHz: [40, 1000] });
    const hzOf = (withinDb: number, withinHz: [number, number] = [20, 20_000]) => {
      const points = strongPoints(profile, { withinHz, withinDb });
      return points.length === 0 ? null : [points[0], points.at(-1)!].map((i) => gridFrequencyHz[i]);
    };
    const [low, high] = hzOf(7.9)!;
    expect([low >= 40, low < 41, high < 300, high > 290]).toEqual([true, true, true, true]);
    expect(hzOf(8.1)![1]).toBeGreaterThan(980);
    expect(hzOf(7.9, [400, 20_000])).toBeNull();
    expect(hzOf(8.1, [400, 20_000])![0]).toBeGreaterThanOrEqual(400);
  });
});
