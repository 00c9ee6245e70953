import { describe, expect, it } from 'vitest';
import { inverseComplex, realSpectrum } from '../../src/dsp/fft.ts';
import { type Sweep, sweepRateSeconds, sweepTimeOf, sweepValue } from '../../src/dsp/sweep.ts';
import reference from '../references/sweep.json' with { type: 'json' };

const RATE_HZ = 48_000;
/** A harmonic is as early as the sweep is late in reaching its frequency. */
const harmonicLeadSeconds = (sweep: Sweep, harmonic: number) => sweepTimeOf(sweep, harmonic * sweep.startHz);
const plain = { startHz: 20, endHz: 20_000, durationSeconds: 10, fadeInSeconds: 0, fadeOutSeconds: 0 };

describe('sweep', () => {
  // Closed form of Farina (AES 108th Convention, 2000), worked out with numpy.
  it('grows by e in L = T / ln(f2 / f1)', () => {
    expect(sweepRateSeconds(plain)).toBeCloseTo(1.4476483, 6);
    expect(sweepRateSeconds({ ...plain, startHz: 10, endHz: 22_000, durationSeconds: 8 })).toBeCloseTo(
      1.0394723,
      6,
    );
  });

  it.each([
    [2, 1.0034333],
    [3, 1.5904042],
    [4, 2.0068666],
    [5, 2.3299],
  ])('puts harmonic %d ahead by L ln k', (harmonic, seconds) => {
    expect(harmonicLeadSeconds(plain, harmonic)).toBeCloseTo(seconds, 6);
  });

  it('passes 632.4555 Hz, the geometric middle, at half time', () => {
    expect(sweepTimeOf(plain, 632.4555)).toBeCloseTo(5, 6);
    // And the samples themselves do: the phase grows by one cycle in 1 / 632.4555 s, seen between two rising zeros.
    const zeros = [risingZeroAfter(plain, 5 - 1 / 632), risingZeroAfter(plain, 5)];
    const frequencyHz = 1 / (zeros[1] - zeros[0]);
    expect(Math.abs(frequencyHz / 632.4555 - 1)).toBeLessThan(1e-3);
  });

  it.each([
    [0, 0],
    [1, 0.002618],
    [100, 0.259001],
    [4800, 0.429732],
    [48_000, -0.915758],
    [240_000, -0.685432],
  ])('has the value of the closed form at sample %d', (sample, value) => {
    expect(Math.abs(sweepValue(plain, sample / RATE_HZ) - value)).toBeLessThan(1e-5);
  });

  it.each(reference.cases)(
    'equals scipy.signal.chirp from $startHz to $endHz Hz in $durationSeconds s at $sampleRateHz Hz',
    ({ samples, sampleRateHz, ...sweep }) => {
      // Phases of up to 1e5 rad, whose last bits the two form differently: 1e-8.
      for (const [at, value] of samples) {
        const ours = sweepValue({ ...sweep, fadeInSeconds: 0, fadeOutSeconds: 0 }, at / sampleRateHz);
        expect(Math.abs(ours - value)).toBeLessThan(1e-8);
      }
    },
  );

  it('fades with raised cosines and is zero outside', () => {
    const faded = { ...plain, fadeInSeconds: 0.1, fadeOutSeconds: 0.005 };
    for (const [seconds, gain] of [
      [0.05, 0.5],
      [0.025, 0.5 * (1 - Math.SQRT1_2)],
      [5, 1],
      [9.9975, 0.5],
    ]) {
      expect(sweepValue(faded, seconds)).toBeCloseTo(gain * sweepValue(plain, seconds), 9);
    }
    for (const seconds of [-1e-9, -1, 10, 11]) expect(sweepValue(faded, seconds)).toBe(0);
  });

  it('separates the harmonics of y = x + 0.1 x^2 + 0.1 x^3 where and as high as theory has them', () => {
    // A memoryless polynomial driven by a unit sine: |H1| = 1 + 3/4 a3 = 1.075, |H2| = a2/2 = 0.05, |H3| = a3/4 = 0.025
    // (trigonometric identities), flat in frequency. Up to 7.9 kHz, so that no harmonic passes half of the rate.
    const sweep = { ...plain, endHz: 7_900, durationSeconds: 4, fadeInSeconds: 0.1, fadeOutSeconds: 0.01 };
    const impulse = impulseResponse(sweep, (x) => x + 0.1 * x ** 2 + 0.1 * x ** 3);
    for (const [harmonic, height] of [
      [1, 1.075],
      [2, 0.05],
      [3, 0.025],
    ]) {
      const lead = harmonicLeadSeconds(sweep, harmonic) * RATE_HZ;
      const centre = impulse.length - lead;
      const peak = peakNear(impulse, centre);
      expect(Math.abs(peak - centre)).toBeLessThanOrEqual(1);
      for (const frequencyHz of [1000, 2000, 3000]) {
        expect(Math.abs(magnitudeAround(impulse, centre, frequencyHz) / height - 1)).toBeLessThan(2e-3);
      }
    }
  });
});

function risingZeroAfter(sweep: Sweep, seconds: number): number {
  const step = 1e-6;
  let t = seconds;
  while (!(sweepValue(sweep, t) < 0 && sweepValue(sweep, t + step) >= 0)) t += step;
  const [before, after] = [sweepValue(sweep, t), sweepValue(sweep, t + step)];
  return t + (step * before) / (before - after);
}

/** Spectral division in the band of the sweep and of its harmonics; negative times stand at the end. */
function impulseResponse(sweep: Sweep, system: (x: number) => number): Float64Array {
  const size = 2 ** 19;
  const stimulus = Float64Array.from({ length: sweep.durationSeconds * RATE_HZ }, (_, i) =>
    sweepValue(sweep, i / RATE_HZ),
  );
  const input = realSpectrum(stimulus, size);
  const output = realSpectrum(stimulus.map(system), size);
  const quotient = new Float64Array(2 * size);
  for (let k = 1; k < size / 2; k++) {
    const frequencyHz = (k * RATE_HZ) / size;
    if (frequencyHz < 40 || frequencyHz > 7500) continue;
    const [a, b, c, d] = [output[2 * k], output[2 * k + 1], input[2 * k], input[2 * k + 1]];
    const power = c * c + d * d;
    quotient[2 * k] = (a * c + b * d) / power;
    quotient[2 * k + 1] = (b * c - a * d) / power;
    quotient[2 * (size - k)] = quotient[2 * k];
    quotient[2 * (size - k) + 1] = -quotient[2 * k + 1];
  }
  const impulse = inverseComplex(quotient);
  return Float64Array.from({ length: size }, (_, i) => impulse[2 * i]);
}

/** Where the energy under a short window is highest: the sweep with '-1' turns the phase of harmonics, so samples may cross zero there. */
function peakNear(impulse: Float64Array, centre: number): number {
  let best = { at: 0, height: -1 };
  for (let at = Math.round(centre) - 200; at <= centre + 200; at++) {
    const height = magnitudeAround(impulse, at, 2000, 96);
    if (height > best.height) best = { at, height };
  }
  return best.at;
}

/** Magnitude of the spectrum of a piece cut out by a Hann window; windows are 1 at `centre`. */
function magnitudeAround(impulse: Float64Array, centre: number, frequencyHz: number, width = 8192): number {
  let [real, imag] = [0, 0];
  const first = Math.ceil(centre - width / 2);
  for (let i = first; i < first + width; i++) {
    const window = 0.5 * (1 + Math.cos((2 * Math.PI * (i - centre)) / width));
    const value = window * impulse[((i % impulse.length) + impulse.length) % impulse.length];
    const angle = (2 * Math.PI * frequencyHz * (i - centre)) / RATE_HZ;
    real += value * Math.cos(angle);
    imag -= value * Math.sin(angle);
  }
  return Math.hypot(real, imag);
}
