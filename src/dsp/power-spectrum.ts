import { realSpectrum, spectrumInput } from './fft.ts';
import { doubles, kept } from './kernels/kernel-arrays.ts';
import { kernels } from './kernels/kernels.ts';

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

/**
 * @param size a power of two, at most the number of samples; the first `size` are used
 * @param power where to put the result, `size / 2` numbers; a new array where absent
 */
export function powerSpectrum(
  samples: ArrayLike<number>,
  of: { size: number; sampleRateHz: number; power?: Float64Array },
): PowerSpectrum {
  const { size, sampleRateHz, power = new Float64Array(size / 2) } = of;
  const { window, spectrum } = planOf(size);
  const windowed = spectrumInput(size).subarray(0, size);
  multiply(window, samples, windowed);
  realSpectrum(windowed, size, spectrum);
  kernels.scaledPower(spectrum, power, 2 / (size * COHERENT_GAIN) ** 2 / NOISE_BANDWIDTH_BINS, size / 2);
  return { binHz: sampleRateHz / size, power };
}

/** Other than samples of a recording (tests) are few. */
function multiply(window: Float64Array, samples: ArrayLike<number>, product: Float64Array): void {
  if (samples instanceof Float32Array) kernels.multiply(samples, window, product, product.length);
  else for (let n = 0; n < product.length; n++) product[n] = window[n] * samples[n];
}

interface Plan {
  readonly window: Float64Array;
  readonly spectrum: Float64Array;
}

const plans = kept<Plan>();

/** The window costs more than the transform; sections of noise have one or two lengths. */
function planOf(size: number): Plan {
  return plans(String(size), () => ({ window: blackmanHarris(size), spectrum: doubles(size + 2) }));
}

/** The cosines of twice and three times an angle come from that of the angle itself; the halves mirror each other. */
function blackmanHarris(size: number): Float64Array {
  const [c0, c1, c2, c3] = COEFFICIENTS;
  const window = doubles(size);
  for (let n = 0; n <= size / 2; n++) {
    const cos = Math.cos((2 * Math.PI * n) / size);
    const value = c0 - c2 + cos * (c1 - 3 * c3 + cos * (2 * c2 + 4 * c3 * cos));
    window[n] = value;
    if (n > 0) window[size - n] = value;
  }
  return window;
}
