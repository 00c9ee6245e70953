import { realSpectrum } from './fft.ts';

/** Power in each bin such that the sum over a band is the mean square of the samples in it. */
export interface PowerSpectrum {
  readonly binHz: number;
  readonly power: Float64Array;
}

/**
 * Four-term Blackman-Harris window, periodic: side lobes 92 dB down, so that a tone stays within TONE_HALF_WIDTH_BINS.
 * Source: Harris, Proc. IEEE 66(1), 1978, table 1 and its text.
 */
const COEFFICIENTS = [0.35875, -0.48829, 0.14128, -0.01168] as const;
const COHERENT_GAIN = COEFFICIENTS[0];
const NOISE_BANDWIDTH_BINS = 2.00435;

/** A tone's power lies within this many bins of its own: half the main lobe, and half a bin. */
export const TONE_HALF_WIDTH_BINS = 5;

/** @param size a power of two, at most the number of samples; the first `size` are used */
export function powerSpectrum(
  samples: ArrayLike<number>,
  of: { size: number; sampleRateHz: number },
): PowerSpectrum {
  const { size, sampleRateHz } = of;
  const windowed = Float64Array.from({ length: size }, (_, n) => samples[n] * blackmanHarris(n / size));
  const spectrum = realSpectrum(windowed, size);
  const scale = 2 / (size * COHERENT_GAIN) ** 2 / NOISE_BANDWIDTH_BINS;
  return {
    binHz: sampleRateHz / size,
    power: Float64Array.from({ length: size / 2 }, (_, k) =>
      k === 0 ? 0 : scale * (spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2),
    ),
  };
}

function blackmanHarris(position: number): number {
  return COEFFICIENTS.reduce(
    (sum, coefficient, k) => sum + coefficient * Math.cos(2 * Math.PI * k * position),
    0,
  );
}
