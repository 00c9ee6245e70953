import { doubles, kept } from './kernels/kernel-arrays.ts';
import { kernels } from './kernels/kernels.ts';
import { kaiser, sinc } from './windowed-sinc.ts';

/**
 * Half length of the low-pass in output samples: with its Kaiser window aliases stay 50 dB down, enough to find things by
 * (tests/dsp/decimate.test.ts); nothing is measured on decimated samples.
 */
const HALF_LENGTH_OUTPUTS = 4;
const KAISER_BETA = 5;
/** Cut-off as a part of the output rate; what lies above 0.45 of it may hold aliases. */
const CUT_OFF = 0.36;

export interface Decimator {
  readonly factor: number;
  /** Input samples needed before and after the first and last output. */
  readonly margin: number;
  /**
   * Output j is centred on input sample `margin + j * factor`.
   *
   * @param target with room for all outputs; a new array where absent
   * @returns the outputs
   */
  decimate(samples: ArrayLike<number>, target?: Float32Array): Float32Array;
}

/** Searches meet a rate or two, each with a second try. */
const MOST_FILTERS_KEPT = 4;
const filters = kept<Float64Array>(MOST_FILTERS_KEPT);

/** Low-pass and keep every `factor`-th sample (windowed sinc; Oppenheim and Schafer, Discrete-Time Signal Processing). */
export function decimatorBy(factor: number): Decimator {
  const margin = factor === 1 ? 0 : HALF_LENGTH_OUTPUTS * factor;
  return {
    factor,
    margin,
    decimate(samples, target) {
      const input = samples instanceof Float32Array ? samples : Float32Array.from(samples);
      const count = Math.max(0, Math.floor((input.length - 2 * margin - 1) / factor) + 1);
      const output = target?.subarray(0, count) ?? new Float32Array(count);
      const taps = filters(String(factor), () => lowPassTaps(margin, factor));
      if (factor === 1) output.set(input);
      else kernels.decimate(input, taps, output, taps.length, factor, count);
      return output;
    },
  };
}

function lowPassTaps(margin: number, factor: number): Float64Array {
  const cutOff = (2 * CUT_OFF) / factor;
  const taps = doubles(2 * margin + 1);
  for (let i = 0; i < taps.length; i++) {
    const n = i - margin;
    taps[i] = cutOff * sinc(cutOff * n) * kaiser(n / (margin + 1), KAISER_BETA);
  }
  const sum = taps.reduce((total, tap) => total + tap, 0);
  for (let i = 0; i < taps.length; i++) taps[i] /= sum;
  return taps;
}
