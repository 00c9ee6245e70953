import { expect, test } from 'vitest';
import {
  levelAround,
  levelProfile,
  meanLevel,
  noiseCorrelation,
  trustedPoints,
} from '../../../src/findings/bass/level-profile.ts';
import { gridFrequencyHz, gridPosition } from '../../../src/model/frequency-grid.ts';
import { measurementsOf, pass, seededRandom } from '../synthetic.ts';

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
