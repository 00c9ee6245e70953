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
  const taps = lowPassTaps(margin, factor);
  return {
    factor,
    margin,
    decimate(samples) {
      const count = Math.max(0, Math.floor((samples.length - 2 * margin - 1) / factor) + 1);
      const output = new Float32Array(count);
      for (let j = 0; j < count; j++) {
        const from = j * factor;
        let sum = 0;
        for (let i = 0; i < taps.length; i++) sum += taps[i] * samples[from + i];
        output[j] = sum;
      }
      return output;
    },
  };
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
