import { kaiser, sinc } from './windowed-sinc.ts';

interface Resampling {
  /** Input position of output 0, and the distance between outputs, in input samples. */
  readonly first: number;
  readonly step: number;
  readonly count: number;
  /** Up to here, in cycles per input sample (below 0.5), the sound is kept; it holds nothing above. */
  readonly passBand: number;
}

/**
 * Band-limited interpolation: the value of a uniformly sampled sound at positions that lie anywhere between samples.
 * Output i is at input position `first + i * step`; outside, the sound is zero.
 *
 * A sinc under a Kaiser window, as long as the pass band asks for, tabulated at 1024 fractions of a sample with linear
 * interpolation between them. Errors stay below -100 dB in the pass band (tests/dsp/fractional-resampler.test.ts).
 * For `step` above 1 the sinc is stretched, so that what the coarser output cannot carry is removed.
 */
export function resampled(samples: Float64Array, { first, step, count, passBand }: Resampling): Float64Array {
  const output = new Float64Array(count);
  const { table, taps } = kernelOf({ stretch: Math.max(1, step), passBand });
  const before = taps / 2 - 1;
  for (let i = 0; i < count; i++) {
    const position = first + i * step;
    const whole = Math.floor(position);
    const start = whole - before;
    const phase = (position - whole) * PHASES;
    const row = Math.floor(phase);
    const blend = phase - row;
    const lower = row * taps;
    const upper = lower + taps;
    const from = Math.max(0, -start);
    const to = Math.min(taps, samples.length - start);
    let atLower = 0;
    let atUpper = 0;
    for (let tap = from; tap < to; tap++) {
      const sample = samples[start + tap];
      atLower += sample * table[lower + tap];
      atUpper += sample * table[upper + tap];
    }
    output[i] = atLower + blend * (atUpper - atLower);
  }
  return output;
}

/** Kernels between which the resampler interpolates (chosen here). */
const PHASES = 1024;
/** Kaiser 1974: beta = 0.1102 (A - 8.7), transition width (A - 7.95) / 14.36 over the taps. */
const STOP_BAND_DB = 112;
const KAISER_BETA = 0.1102 * (STOP_BAND_DB - 8.7);
const TAPS_TIMES_WIDTH = (STOP_BAND_DB - 7.95) / 14.36;

interface Kernel {
  /** PHASES + 1 rows of `taps`; row r is for a position r / PHASES after a sample. */
  readonly table: Float64Array;
  readonly taps: number;
}

const kernels = new Map<string, Kernel>();

function kernelOf({ stretch, passBand }: { stretch: number; passBand: number }): Kernel {
  // Clocks differ by parts per million: one kernel serves them all.
  const rounded = Math.round(stretch * 1000) / 1000;
  const key = `${rounded} ${passBand}`;
  const kernel = kernels.get(key) ?? makeKernel({ stretch: rounded, passBand });
  kernels.set(key, kernel);
  return kernel;
}

function makeKernel({ stretch, passBand }: { stretch: number; passBand: number }): Kernel {
  const width = 2 * (0.5 / stretch - passBand);
  const halfWidth = Math.ceil(TAPS_TIMES_WIDTH / width / 2);
  const taps = 2 * halfWidth;
  const table = new Float64Array((PHASES + 1) * taps);
  for (let row = 0; row <= PHASES; row++) {
    for (let tap = 0; tap < taps; tap++) {
      const distance = tap - (halfWidth - 1) - row / PHASES;
      table[row * taps + tap] =
        (sinc(distance / stretch) / stretch) * kaiser(distance / halfWidth, KAISER_BETA);
    }
  }
  return { table, taps };
}
