import { kernels } from './kernels/kernels.ts';
import { windowSigmaSeconds } from './smoothing-kernel.ts';
import { type Sweep, sweepTimeOf } from './sweep.ts';

/** Bins over which the noise beside the response is averaged, at least. */
const NOISE_HALF_WIDTH_BINS = 24;

/** Bins whose jumps tell the noise at each frequency: sums along the bins at `to` less those at `from`, times `scale`. */
export interface NoiseBands {
  readonly from: Int32Array;
  readonly to: Int32Array;
  readonly scale: Float64Array;
}

/** @param leadSeconds of the section before the sweep starts */
export function noiseBands(of: {
  sweep: Sweep;
  frequencyHz: Float64Array;
  sampleRateHz: number;
  sectionLength: number;
  transformSize: number;
  leadSeconds: number;
}): NoiseBands {
  const { frequencyHz, transformSize } = of;
  const binHz = of.sampleRateHz / transformSize;
  const lastBin = transformSize / 2 - 1;
  const from = new Int32Array(frequencyHz.length);
  const to = new Int32Array(frequencyHz.length);
  const scale = frequencyHz.map((hz, i) => {
    const sigmaBins = 1 / (2 * Math.PI * windowSigmaSeconds(hz) * binHz);
    const halfWidth = Math.max(NOISE_HALF_WIDTH_BINS, Math.round(1.5 * sigmaBins));
    from[i] = Math.max(1, Math.round(hz / binHz) - halfWidth);
    to[i] = Math.min(lastBin - 1, Math.round(hz / binHz) + halfWidth);
    return 1 / (to[i] - from[i]) / secondDifferenceGain(of, hz);
  });
  return { from, to, scale };
}

/**
 * Standard deviation of each part of the response, from how neighbouring bins of Y/X jump: their second difference
 * ignores what arrives near time zero and keeps noise, which is spread over the whole section.
 *
 * @param cross bins of Y X*, interleaved
 * @param running working memory of as many bins, overwritten
 */
export function noiseBeside(
  plan: {
    readonly stimulusPower: Float64Array;
    readonly inversePower: Float64Array;
    readonly varianceFactors: Float64Array;
    readonly noiseBands: NoiseBands;
  },
  { cross, running }: { cross: Float64Array; running: Float64Array },
): Float64Array {
  const { from, to, scale } = plan.noiseBands;
  kernels.sumJumps(cross, plan.inversePower, plan.stimulusPower, running, to[to.length - 1]);
  // Of digital zero the sums differ by rounding alone, downwards too.
  return scale.map((part, i) =>
    Math.sqrt((Math.max(0, running[to[i]] - running[from[i]]) * part * plan.varianceFactors[i]) / 2),
  );
}

/** Mean of |e^{ja} - 2 + e^{-ja}|^2 over the times at which noise of this frequency lies after the division. */
function secondDifferenceGain(
  of: {
    sweep: Sweep;
    sampleRateHz: number;
    sectionLength: number;
    transformSize: number;
    leadSeconds: number;
  },
  frequencyHz: number,
): number {
  const circle = of.transformSize / of.sampleRateHz;
  const passes = sweepTimeOf(of.sweep, frequencyHz);
  const from = (2 * Math.PI * (-passes - of.leadSeconds)) / circle;
  const to = from + (2 * Math.PI * of.sectionLength) / of.transformSize;
  const integral = (angle: number) => 6 * angle - 8 * Math.sin(angle) + Math.sin(2 * angle);
  return (integral(to) - integral(from)) / (to - from);
}
