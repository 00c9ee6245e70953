import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { FrequencyResponse } from '../model/response.ts';

const DB_PER_NEPER = 20 / Math.LN10;
/** Shapes this close are the same filter: bass that begins to fall is out before it moves a corner by a percent. */
const SAME_LEVEL_NEPER = 0.1 / DB_PER_NEPER;
/** The tail of bass that falls turns the phase far above it, where its level is all but back; two clocks turn it by less. */
const SAME_PHASE_RADIANS = 0.02;
/**
 * Ratios are looked at in running means of so many grid points: a quarter of an octave for what is narrow, more for bass that
 * falls so gently that noise hides it point by point. Noise may add so many standard deviations: fewer where fewer
 * means are looked at.
 */
const LOOKS = [
  { points: 13, sigmas: 4.5 },
  { points: 40, sigmas: 4 },
  { points: 120, sigmas: 3.5 },
] as const;
/** Neighbouring grid points that share one independent value. */
const POINTS_PER_VALUE = 13 / 3;
/** What no noise explains counts alike: 0.001 dB, squared. */
const LEAST_VARIANCE = 1e-8;

/**
 * Whether two responses of a tap differ by nothing but level, as far as their noise lets one see.
 *
 * @param other moved to where `one` arrives; both with a trusted band
 */
export function sameShape(one: FrequencyResponse, other: FrequencyResponse): boolean {
  const { level, phase, weightSums } = logRatio(one, other);
  const last = weightSums.length - 1;
  if (last < 2 * LOOKS[0].points) return false;
  const mean = meanOf({ sums: level, weightSums }, 0, last).value;
  return (
    staysWithin({ sums: level, weightSums }, { around: mean, tolerance: SAME_LEVEL_NEPER }) &&
    staysWithin({ sums: phase, weightSums }, { around: 0, tolerance: SAME_PHASE_RADIANS })
  );
}

/** Sums from the first point that both trust up to each: of values weighted by noise, and of the weights. */
interface WeightedSums {
  readonly sums: Float64Array;
  readonly weightSums: Float64Array;
}

/** Natural logarithm of a ratio: of its size, in neper, and its phase. */
function logRatio(one: FrequencyResponse, other: FrequencyResponse) {
  const [first, last] = [
    Math.max(...[one, other].map(({ trustedHz }) => trustedHz![0])),
    Math.min(...[one, other].map(({ trustedHz }) => trustedHz![1])),
  ];
  const inside = Array.from(gridFrequencyHz.keys()).filter(
    (i) => gridFrequencyHz[i] >= first && gridFrequencyHz[i] <= last,
  );
  const level = new Float64Array(inside.length + 1);
  const phase = new Float64Array(inside.length + 1);
  const weightSums = new Float64Array(inside.length + 1);
  inside.forEach((i, k) => {
    const [a, b] = [Math.hypot(one.real[i], one.imag[i]), Math.hypot(other.real[i], other.imag[i])];
    const weight = 1 / ((one.sigma[i] / a) ** 2 + (other.sigma[i] / b) ** 2 + LEAST_VARIANCE);
    const turn = Math.atan2(
      other.imag[i] * one.real[i] - other.real[i] * one.imag[i],
      other.real[i] * one.real[i] + other.imag[i] * one.imag[i],
    );
    level[k + 1] = level[k] + weight * Math.log(b / a);
    phase[k + 1] = phase[k] + weight * turn;
    weightSums[k + 1] = weightSums[k] + weight;
  });
  return { level, phase, weightSums };
}

function staysWithin(
  of: WeightedSums,
  { around, tolerance }: { around: number; tolerance: number },
): boolean {
  return LOOKS.every(({ points, sigmas }) => {
    for (let from = 0; from + points < of.sums.length; from++) {
      const { value, sigma } = meanOf(of, from, from + points);
      if (Math.abs(value - around) > Math.max(tolerance, sigmas * sigma)) return false;
    }
    return true;
  });
}

function meanOf(
  { sums, weightSums }: WeightedSums,
  from: number,
  to: number,
): { value: number; sigma: number } {
  const weight = weightSums[to] - weightSums[from];
  return { value: (sums[to] - sums[from]) / weight, sigma: Math.sqrt(POINTS_PER_VALUE / weight) };
}
