import { expect, test } from 'vitest';
import { hardClipInPlace } from '../../src/simulate/hard-clip.ts';
import { sine, thdOf, toneAmplitude } from './tone.ts';

const sampleRateHz = 48_000;

// Closed form of the clipped unit sine; ngspice `B1 o 0 V=min(max(v(in),-0.8),0.8)` with `fourier` gives the row of 0.8.
test.each([
  [0.95, 0.98668, 0.012275, 0.01036, 1.889822],
  [0.8, 0.895912, 0.073339, 0.031096, 8.949059],
  [0.5, 0.608998, 0.137832, 0.027566, 23.247823],
])(
  'a sine clipped at %f of its peak has the harmonics of the closed form',
  (ratio, b1, b3, b5, thdPercent) => {
    for (const frequencyHz of [60, 1000]) {
      const samples = sine({ frequencyHz, sampleRateHz, amplitude: 1, count: 9600 });
      hardClipInPlace(samples, ratio);
      const at = (k: number) =>
        toneAmplitude(samples, { frequencyHz: k * frequencyHz, sampleRateHz, start: 3200, cycles: 4 * k })
          .magnitude;
      // 2e-4: what fourfold oversampling leaves, 0.01 dB of the third harmonic.
      expect(Math.abs(at(1) - b1)).toBeLessThan(2e-4);
      expect(Math.abs(at(3) - b3)).toBeLessThan(2e-4);
      expect(Math.abs(at(5) - b5)).toBeLessThan(2e-4);
      const thd = thdOf(samples, { frequencyHz, sampleRateHz, start: 3200, cycles: 4, highest: 10 });
      expect(100 * thd).toBeCloseTo(thdPercent, 1);
    }
  },
);

test('nothing folds back: beside the harmonics below half the rate the spectrum stays empty', () => {
  // Harmonic 5 (35 kHz) would fold to 13 kHz, harmonic 7 (49 kHz) to 1 kHz.
  const samples = sine({ frequencyHz: 7000, sampleRateHz, amplitude: 1, count: 9600 });
  hardClipInPlace(samples, 0.8);
  for (const foldedHz of [1000, 13_000]) {
    const folded = toneAmplitude(samples, {
      frequencyHz: foldedHz,
      sampleRateHz,
      start: 2400,
      cycles: foldedHz / 20,
    });
    expect(20 * Math.log10(folded.magnitude)).toBeLessThan(-70);
  }
  const third = toneAmplitude(samples, { frequencyHz: 21_000, sampleRateHz, start: 2400, cycles: 1050 });
  expect(third.magnitude).toBeGreaterThan(0.05);
});

test('a sine between whose samples alone the peak stands is clipped all the same', () => {
  // A quarter of the rate, shifted by 45 degrees: samples at 0.707 of the peak.
  const samples = Float64Array.from({ length: 4800 }, (_, n) => Math.sin((Math.PI / 2) * n + Math.PI / 4));
  hardClipInPlace(samples, 0.8);
  const { magnitude } = toneAmplitude(samples, {
    frequencyHz: 12_000,
    sampleRateHz,
    start: 1200,
    cycles: 600,
  });
  expect(magnitude).toBeCloseTo(0.895912, 2);
});

test('what stays within the limit passes bit by bit', () => {
  const samples = sine({ frequencyHz: 997, sampleRateHz, amplitude: 0.79, count: 4800 });
  const before = samples.slice();
  hardClipInPlace(samples, 0.8);
  expect(samples.every((sample, n) => sample === before[n])).toBe(true);
});
