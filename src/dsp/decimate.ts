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
  /** Output j is centred on input sample `margin + j * factor`. */
  decimate(samples: ArrayLike<number>): Float32Array;
}

/** Low-pass and keep every `factor`-th sample (windowed sinc; Oppenheim and Schafer, Discrete-Time Signal Processing). */
export function decimatorBy(factor: number): Decimator {
  if (factor === 1) return { factor, margin: 0, decimate: (samples) => Float32Array.from(samples) };
  const margin = HALF_LENGTH_OUTPUTS * factor;
  const half = lowPassTaps(margin, factor).subarray(0, margin + 1);
  return {
    factor,
    margin,
    decimate(samples) {
      const input = samples instanceof Float32Array ? samples : Float32Array.from(samples);
      const count = Math.max(0, Math.floor((input.length - 2 * margin - 1) / factor) + 1);
      const output = new Float32Array(count);
      for (let j = 0; j < count; j++) output[j] = symmetricSum(input, j * factor, half);
      return output;
    },
  };
}

/**
 * Samples from `from` on, weighted by a symmetric filter of which `half` ends with the middle tap. Two sums, because each
 * addition would wait for the one before.
 */
function symmetricSum(samples: Float32Array, from: number, half: Float64Array): number {
  const margin = half.length - 1;
  const end = from + 2 * margin;
  let even = half[margin] * samples[from + margin];
  let odd = 0;
  for (let i = 0; i < margin; i += 2) {
    even += half[i] * (samples[from + i] + samples[end - i]);
    odd += half[i + 1] * (samples[from + i + 1] + samples[end - i - 1]);
  }
  return even + odd;
}

function lowPassTaps(margin: number, factor: number): Float64Array {
  const cutOff = (2 * CUT_OFF) / factor;
  const taps = Float64Array.from({ length: 2 * margin + 1 }, (_, i) => {
    const n = i - margin;
    const sinc = n === 0 ? cutOff : Math.sin(Math.PI * cutOff * n) / (Math.PI * n);
    return sinc * besselI0(KAISER_BETA * Math.sqrt(1 - (n / (margin + 1)) ** 2));
  });
  const sum = taps.reduce((total, tap) => total + tap, 0);
  return taps.map((tap) => tap / sum);
}

/** Modified Bessel function of the first kind, order 0 (power series, Abramowitz and Stegun 9.6.12). */
function besselI0(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; term > 1e-12 * sum; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}
