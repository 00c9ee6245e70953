import { expect, test } from 'vitest';
import { harmonicFitter } from '../../src/dsp/harmonic-fit.ts';
import { seededRandom } from '../../src/dsp/random.ts';

const sampleRateHz = 48_000;

function fitOf(value: (cycles: number) => number, { toneHz = 997, cycles = 40, noiseRms = 0 } = {}) {
  const length = Math.round((cycles / toneHz) * sampleRateHz);
  const random = seededRandom(3);
  const samples = Float64Array.from(
    { length: length + 7 },
    (_, n) => value((n * toneHz) / sampleRateHz) + noiseRms * random.gaussian(),
  );
  return harmonicFitter({ cyclesPerSample: toneHz / sampleRateHz, length, highestHarmonic: 10 }).fit(
    samples,
    7,
  );
}

// 40 cycles of 997 Hz are 1926 samples at 48 kHz, 39.99 are 1925: neither is a whole number of cycles.
test.each([40, 39.99])('harmonics of any phase come out exactly from %f cycles', (cycles) => {
  const fit = fitOf((c) => 0.1 + 0.5 * Math.sin(2 * Math.PI * c + 1) + 0.003 * Math.cos(6 * Math.PI * c), {
    cycles,
  });
  expect(fit.constant).toBeCloseTo(0.1, 10);
  expect(fit.amplitude[0]).toBeCloseTo(0.5, 10);
  expect(fit.amplitude[1]).toBeCloseTo(0, 10);
  expect(fit.amplitude[2]).toBeCloseTo(0.003, 10);
  expect(fit.residualVariance).toBeCloseTo(0, 12);
});

// Total harmonic distortion of a hard-clipped sine, harmonics 2 to 10: closed form by Fourier integrals, evaluated with
// numpy and confirmed by an FFT of 65 536 points (0.9: 4.189833 %, 0.8: 8.949059 %, 0.5: 23.247823 %).
// At 55 Hz hardly any of its energy folds at 48 kHz.
test.each([
  [0.9, 0.04189833],
  [0.8, 0.08949059],
  [0.5, 0.23247823],
])('a sine clipped at %f has the published distortion', (clip, thd) => {
  const fit = fitOf((c) => Math.max(-clip, Math.min(clip, Math.sin(2 * Math.PI * c))), {
    toneHz: 55,
    cycles: 5,
  });
  const harmonics = Math.hypot(...fit.amplitude.subarray(1));
  expect(harmonics / fit.amplitude[0]).toBeCloseTo(thd, 4);
});

test('the stated noise power is what noise adds to each harmonic', () => {
  const fit = fitOf((c) => Math.sin(2 * Math.PI * c), { toneHz: 55, cycles: 5, noiseRms: 0.01 });
  const mean = fit.amplitude.subarray(1).reduce((sum, a) => sum + a * a, 0) / 9;
  expect(mean / fit.amplitudeNoisePower).toBeGreaterThan(0.4);
  expect(mean / fit.amplitudeNoisePower).toBeLessThan(2);
  expect(Math.sqrt(fit.residualVariance)).toBeCloseTo(0.01, 3);
});
