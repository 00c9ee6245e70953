import { DB_PER_NEPER } from '../../dsp/decibels.ts';
import { modulus } from '../../dsp/modulus.ts';
import { delayBetween, movedEarlier } from '../../measure/sweeps/delay-between.ts';
import { gridSpan } from '../../model/frequency-grid.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import { commonBand } from './level-profile.ts';

/** Shapes this close are the same filter: bass that begins to fall is out before it moves a corner by a percent. */
const SAME_LEVEL_NEPER = 0.1 / DB_PER_NEPER;
/** The tail of bass that falls turns the phase far above it, where its level is all but back; two clocks turn it by less: at 20 kHz 0.008 for the 0.01 ppm that is left of 500. */
const SAME_PHASE_RADIANS = 0.02;
/**
 * Ratios are looked at in running means of so many grid points: a quarter of an octave for what is narrow, more for bass that
 * falls so gently that noise hides it point by point. Noise may add so many standard deviations: fewer where fewer
 * means are looked at, and so that of 100 settings alike at most two are left out (tests/findings/averaged-tap.test.ts).
 */
const LOOKS = [
  { points: 13, sigmas: 5 },
  { points: 40, sigmas: 4.5 },
  { points: 120, sigmas: 4 },
] as const;
/** Neighbouring grid points that share one independent value. */
const POINTS_PER_VALUE = 13 / 3;
/** What no noise explains counts alike: 0.001 dB, squared. */
const LEAST_VARIANCE = 1e-8;

/** Whether two responses of a tap differ by nothing but level and delay, as far as their noise lets one see. */
export function sameShape(one: FrequencyResponse, other: FrequencyResponse): boolean {
  const band = commonBand(one.trustedHz, other.trustedHz);
  if (band === null) return false;
  const { first, last } = gridSpan(band);
  const count = last - first + 1;
  if (count < 2 * LOOKS[0].points) return false;
  const level = levelSums(one, other, { first, count });
  if (!staysWithin(level, { around: meanOf(level, 0, count).value, tolerance: SAME_LEVEL_NEPER }))
    return false;
  const shift = delayBetween({ earlier: one, later: other });
  if (shift === null) return false;
  const phase = phaseSums(one, movedEarlier(other, shift.value), { first, count });
  return staysWithin(phase, { around: 0, tolerance: SAME_PHASE_RADIANS });
}

/** Points of the grid. */
interface Span {
  readonly first: number;
  readonly count: number;
}

/** Sums from the first point of a span up to each: of values weighted by noise, and of the weights. */
interface WeightedSums {
  readonly sums: Float64Array;
  readonly weightSums: Float64Array;
}

/** Natural logarithm of the ratio of their levels. */
function levelSums(one: FrequencyResponse, other: FrequencyResponse, span: Span): WeightedSums {
  return weightedSums(one, other, span, (i) =>
    Math.log(modulus(other.real[i], other.imag[i]) / modulus(one.real[i], one.imag[i])),
  );
}

/** How much further `other` has turned. */
function phaseSums(one: FrequencyResponse, other: FrequencyResponse, span: Span): WeightedSums {
  return weightedSums(one, other, span, (i) =>
    Math.atan2(
      other.imag[i] * one.real[i] - other.real[i] * one.imag[i],
      other.real[i] * one.real[i] + other.imag[i] * one.imag[i],
    ),
  );
}

function weightedSums(
  one: FrequencyResponse,
  other: FrequencyResponse,
  { first, count }: Span,
  valueAt: (i: number) => number,
): WeightedSums {
  const sums = new Float64Array(count + 1);
  const weightSums = new Float64Array(count + 1);
  const variance = ({ real, imag, sigma }: FrequencyResponse, i: number) =>
    sigma[i] ** 2 / (real[i] ** 2 + imag[i] ** 2);
  for (let k = 0; k < count; k++) {
    const i = first + k;
    const weight = 1 / (variance(one, i) + variance(other, i) + LEAST_VARIANCE);
    sums[k + 1] = sums[k] + weight * valueAt(i);
    weightSums[k + 1] = weightSums[k] + weight;
  }
  return { sums, weightSums };
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
