/**
 * Smoothing kernels along frequency, one for each frequency asked for: weights (3/2 - u^2/2) exp(-u^2/2), whose second
 * moment is zero, so that a response is smoothed without bias up to its third derivative. In time this is a window
 * (1 + v^2/2) exp(-v^2/2) around the arrival, flat to the fourth order: room reflections do not matter at an
 * electrical output, so the window only has to keep noise and harmonics out.
 */
export interface SmoothingKernel {
  readonly firstBin: number;
  readonly weights: Float64Array;
}

/** Window width in cycles of the frequency: 5 keeps a 48 dB/octave slope within 0.01 dB (tests/dsp/sweep-response.test.ts). */
const WINDOW_CYCLES = 5;
/** Arrival need not be known better than this at the top, and the bottom keeps its resolution. */
const SHORTEST_WINDOW_SECONDS = 0.003;
const LONGEST_WINDOW_SECONDS = 0.2;
const KERNEL_REACH = 4.5;

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
  const weights = Float64Array.from({ length: Math.max(0, last - firstBin + 1) }, (_, i) => {
    const u = (firstBin + i - centre) / sigmaBins;
    return (1.5 - 0.5 * u * u) * Math.exp(-0.5 * u * u);
  });
  return { firstBin, weights };
}
