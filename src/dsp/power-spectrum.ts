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

/**
 * @param size a power of two, at most the number of samples; the first `size` are used
 * @param power where to put the result, `size / 2` numbers; a new array where absent
 */
export function powerSpectrum(
  samples: ArrayLike<number>,
  of: { size: number; sampleRateHz: number; power?: Float64Array },
): PowerSpectrum {
  const { size, sampleRateHz, power = new Float64Array(size / 2) } = of;
  const { window, windowed, spectrum } = planOf(size);
  multiply(window, samples, windowed);
  realSpectrum(windowed, size, spectrum);
  scaledPower(spectrum, power, 2 / (size * COHERENT_GAIN) ** 2 / NOISE_BANDWIDTH_BINS);
  return { binHz: sampleRateHz / size, power };
}

function multiply(window: Float64Array, samples: ArrayLike<number>, product: Float64Array): void {
  for (let n = 0; n < product.length; n++) product[n] = window[n] * samples[n];
}

function scaledPower(spectrum: Float64Array, power: Float64Array, scale: number): void {
  power[0] = 0;
  for (let k = 1; k < power.length; k++)
    power[k] = scale * (spectrum[2 * k] * spectrum[2 * k] + spectrum[2 * k + 1] * spectrum[2 * k + 1]);
}

interface Plan {
  readonly window: Float64Array;
  readonly windowed: Float64Array;
  readonly spectrum: Float64Array;
}

const plans = new Map<number, Plan>();

/** The window costs more than the transform; sections of noise have one or two lengths. */
function planOf(size: number): Plan {
  let plan = plans.get(size);
  if (plan === undefined) {
    plan = {
      window: blackmanHarris(size),
      windowed: new Float64Array(size),
      spectrum: new Float64Array(size + 2),
    };
    plans.set(size, plan);
  }
  return plan;
}

/** The cosines of twice and three times an angle come from that of the angle itself; the halves mirror each other. */
function blackmanHarris(size: number): Float64Array {
  const [c0, c1, c2, c3] = COEFFICIENTS;
  const window = new Float64Array(size);
  for (let n = 0; n <= size / 2; n++) {
    const cos = Math.cos((2 * Math.PI * n) / size);
    const value = c0 - c2 + cos * (c1 - 3 * c3 + cos * (2 * c2 + 4 * c3 * cos));
    window[n] = value;
    if (n > 0) window[size - n] = value;
  }
  return window;
}
