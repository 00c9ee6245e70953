import { expect, test } from 'vitest';
import { aWeightingOfPower } from '../../src/dsp/a-weighting.ts';
import { powerSpectrum } from '../../src/dsp/power-spectrum.ts';
import { seededRandom } from '../../src/dsp/random.ts';

// IEC 61672-1:2013 table 3, A-weighting at exact base-ten frequencies; the table is rounded to 0.1 dB.
test.each([
  [10 ** 1.3, -50.5],
  [10 ** 1.7, -30.2],
  [100, -19.1],
  [10 ** 2.7, -3.2],
  [1000, 0],
  [10 ** 3.4, 1.3],
  [10_000, -2.5],
  [10 ** 4.3, -9.3],
])('the A-weighting at %f Hz is %f dB', (frequencyHz, expectedDb) => {
  expect(Math.abs(10 * Math.log10(aWeightingOfPower(frequencyHz)) - expectedDb)).toBeLessThanOrEqual(0.0505);
});

test('the power of a sine is half its squared amplitude, wherever it lies between bins', () => {
  for (const frequencyHz of [1000, 1003.3]) {
    const samples = Float64Array.from({ length: 8192 }, (_, n) =>
      Math.sin((2 * Math.PI * frequencyHz * n) / 48_000),
    );
    const { power } = powerSpectrum(samples, { size: 8192, sampleRateHz: 48_000 });
    expect(power.reduce((sum, value) => sum + value, 0)).toBeCloseTo(0.5, 3);
  }
});

test('the power of white noise is its variance', () => {
  const random = seededRandom(5);
  const samples = Float64Array.from({ length: 2 ** 17 }, () => random.gaussian());
  const { power } = powerSpectrum(samples, { size: 2 ** 17, sampleRateHz: 48_000 });
  expect(power.reduce((sum, value) => sum + value, 0)).toBeCloseTo(1, 1);
});
