/**
 * Smoothing kernels along frequency, one for each frequency asked for: weights (3/2 - u^2/2) exp(-u^2/2), whose second
 * moment is zero, so that a response is smoothed without bias up to its third derivative. In time this is a window
 * (1 + v^2/2) exp(-v^2/2) around the arrival, flat to the fourth order: room reflections do not matter at an
 * electrical output, so the window only has to keep noise and harmonics out.
 */
export interface SmoothingKernel {
  /** Weight j is that of bins (first + j) * binsPerWeight and the `binsPerWeight - 1` after it. */
  readonly first: number;
  readonly binsPerWeight: 1 | typeof BLOCK_BINS;
  readonly weights: Float64Array;
}

/** Window width in cycles of the frequency: 5 keeps a 48 dB/octave slope within 0.01 dB (tests/dsp/sweep-response.test.ts). */
const WINDOW_CYCLES = 5;
/** Arrival need not be known better than this at the top, and the bottom keeps its resolution. */
const SHORTEST_WINDOW_SECONDS = 0.003;
const LONGEST_WINDOW_SECONDS = 0.2;
const KERNEL_REACH = 4.5;
/**
 * Where a kernel is this wide, so many neighbouring bins share a weight: a tenth of the sums, and a response moves by less
 * than 10^-5 of itself (a step's second moment is 1/12 of its width squared).
 */
export const BLOCK_BINS = 8;
const WIDE_SIGMA_BINS = 16 * BLOCK_BINS;

/** Standard deviation in time of the window used at a frequency. */
export function windowSigmaSeconds(frequencyHz: number): number {
  return Math.min(LONGEST_WINDOW_SECONDS, Math.max(SHORTEST_WINDOW_SECONDS, WINDOW_CYCLES / frequencyHz));
}

/** The kernel around one frequency over bins `binHz` apart, none below 1 or above `lastBin`. */
export function smoothingKernel(at: {
  frequencyHz: number;
  binHz: number;
  lastBin: number;
}): SmoothingKernel {
  const sigmaBins = 1 / (2 * Math.PI * windowSigmaSeconds(at.frequencyHz) * at.binHz);
  const centre = at.frequencyHz / at.binHz;
  const firstBin = Math.max(1, Math.ceil(centre - KERNEL_REACH * sigmaBins));
  const last = Math.min(at.lastBin, Math.floor(centre + KERNEL_REACH * sigmaBins));
  const weights = new Float64Array(Math.max(0, last - firstBin + 1));
  fillWeights(weights, { firstBin, centre, sigmaBins });
  return sigmaBins < WIDE_SIGMA_BINS
    ? { first: firstBin, binsPerWeight: 1, weights }
    : inBlocks(firstBin, weights);
}

/** A bell is its neighbour times a ratio that itself changes by a constant factor: an exponential every few bins will do. */
const BINS_PER_EXPONENTIAL = 16;

function fillWeights(
  weights: Float64Array,
  { firstBin, centre, sigmaBins }: { firstBin: number; centre: number; sigmaBins: number },
): void {
  const step = 1 / sigmaBins;
  const ratioStep = Math.exp(-step * step);
  for (let from = 0; from < weights.length; from += BINS_PER_EXPONENTIAL) {
    const u0 = (firstBin + from - centre) * step;
    let bell = Math.exp(-0.5 * u0 * u0);
    let ratio = Math.exp(-step * (u0 + 0.5 * step));
    const end = Math.min(weights.length, from + BINS_PER_EXPONENTIAL);
    for (let i = from; i < end; i++) {
      const u = (firstBin + i - centre) * step;
      weights[i] = (1.5 - 0.5 * u * u) * bell;
      bell *= ratio;
      ratio *= ratioStep;
    }
  }
}

function inBlocks(firstBin: number, weights: Float64Array): SmoothingKernel {
  const first = Math.floor(firstBin / BLOCK_BINS);
  const blocks = new Float64Array(Math.ceil((firstBin + weights.length) / BLOCK_BINS) - first);
  for (let i = 0; i < weights.length; i++)
    blocks[Math.floor((firstBin + i) / BLOCK_BINS) - first] += weights[i] / BLOCK_BINS;
  return { first, binsPerWeight: BLOCK_BINS, weights: blocks };
}
