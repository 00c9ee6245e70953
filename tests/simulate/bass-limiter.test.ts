import { expect, test } from 'vitest';
import { limitBassInPlace, limiterResponse } from '../../src/simulate/bass-limiter.ts';
import { sine, thdOf, toneAmplitude } from './tone.ts';

const sampleRateHz = 48_000;
const LIMITER = {
  belowHz: 120,
  threshold: 0.1,
  attackSeconds: 0.005,
  releaseSeconds: 0.2,
  holdSeconds: 0.03,
};

function limited(
  frequencyHz: number,
  amplitude: number,
  changes: Partial<typeof LIMITER> = {},
): Float64Array {
  const samples = sine({ frequencyHz, sampleRateHz, amplitude, count: 48_000 });
  limitBassInPlace(samples, { ...LIMITER, ...changes }, sampleRateHz);
  return samples;
}

test('bass far inside the band is held at the threshold whatever its level, without distortion', () => {
  for (const amplitude of [0.2, 0.5, 1]) {
    const samples = limited(30, amplitude);
    const tone = { frequencyHz: 30, sampleRateHz, start: 24_000, cycles: 10 };
    // At a quarter of its corner a second-order Butterworth turns by 20.7 degrees; what is left of the tone adds to the
    // limited band by the closed form 1 + (g - 1) L.
    const { real, imag } = limiterResponse(LIMITER, { frequencyHz: 30, level: amplitude, sampleRateHz });
    expect(toneAmplitude(samples, tone).magnitude).toBeCloseTo(amplitude * Math.hypot(real, imag), 4);
    expect(thdOf(samples, { ...tone, highest: 10 })).toBeLessThan(1e-4);
  }
});

test('the gain itself follows threshold over peak: the band alone is exactly at the threshold', () => {
  const { real, imag } = limiterResponse(LIMITER, { frequencyHz: 1, level: 0.4, sampleRateHz });
  expect(0.4 * Math.hypot(real, imag)).toBeCloseTo(0.1, 3);
});

test('bass below the threshold, and the middle above it, pass', () => {
  const quiet = sine({ frequencyHz: 55, sampleRateHz, amplitude: 0.09, count: 48_000 });
  expect(limited(55, 0.09).every((sample, n) => sample === quiet[n])).toBe(true);
  const middle = { frequencyHz: 1000, sampleRateHz, start: 24_000, cycles: 100 };
  expect(toneAmplitude(limited(1000, 1), middle).magnitude).toBeCloseTo(1, 6);
});

test('a limiter that holds its peaks shorter than half a period distorts the bass, as fast ones do', () => {
  const fast = { holdSeconds: 0.002, releaseSeconds: 0.06 };
  const thd = thdOf(limited(30, 0.5, fast), {
    frequencyHz: 30,
    sampleRateHz,
    start: 24_000,
    cycles: 10,
    highest: 10,
  });
  expect(thd).toBeGreaterThan(0.004);
});
