import { delayBetween, movedEarlier } from '../measure/delay-between.ts';
import { frequencyResponse } from '../measure/trusted-band.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { FrequencyResponse } from '../model/response.ts';

/** One tap's response over the settings that agree in shape, with where each of their takes lies in time. */
export interface AveragedTap {
  readonly response: FrequencyResponse;
  readonly takes: readonly AveragedTake[];
}

export interface AveragedTake {
  readonly measurement: TapMeasurement;
  /** How much later this take arrives than the average, and one standard deviation of it. */
  readonly shiftSeconds: number;
  readonly shiftSigmaSeconds: number;
}

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
 * Averages a tap's responses over the largest group of settings that differ by nothing but level and delay; of equal groups
 * the one around the middle setting. Weighted by noise.
 *
 * @param measurements one tap's, ascending in setting
 * @param responseOf what the tap carries of a measurement's programmes
 * @returns null where no setting has a trusted band
 */
export function averagedTap(
  measurements: readonly TapMeasurement[],
  responseOf: (measurement: TapMeasurement) => FrequencyResponse,
): AveragedTap | null {
  const usable = inTime(
    measurements
      .map((measurement) => ({ measurement, response: responseOf(measurement) }))
      .filter(({ response }) => response.trustedHz !== null),
  );
  if (usable.length === 0) return null;
  const middle = (usable.length - 1) / 2;
  const groups = usable.map((reference, index) => ({
    reference,
    fromMiddle: Math.abs(index - middle),
    members: usable.filter((other) => other === reference || sameShape(reference.inTime, other.inTime)),
  }));
  groups.sort((a, b) => b.members.length - a.members.length || a.fromMiddle - b.fromMiddle);
  const { reference, members } = groups[0];
  return weightedMean(reference, members);
}

interface Usable {
  readonly measurement: TapMeasurement;
  readonly response: FrequencyResponse;
  readonly inTime: FrequencyResponse | null;
}

/** Each response moved to where that of the middle setting arrives; null where the two share too little. */
function inTime(all: readonly Omit<Usable, 'inTime'>[]): Usable[] {
  const middle = all[all.length >> 1];
  return all.map((one) => {
    if (one === middle) return { ...one, inTime: one.response };
    const shift = delayBetween({ earlier: middle.response, later: one.response });
    return { ...one, inTime: shift === null ? null : movedEarlier(one.response, shift.value) };
  });
}

function sameShape(one: FrequencyResponse | null, other: FrequencyResponse | null): boolean {
  if (one === null || other === null) return false;
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

function weightedMean(reference: Usable, members: readonly Usable[]): AveragedTap {
  const count = gridFrequencyHz.length;
  const real = new Float64Array(count);
  const imag = new Float64Array(count);
  const weights = new Float64Array(count);
  const takes: AveragedTake[] = [];
  for (const { measurement, response } of members) {
    const shift =
      response === reference.response
        ? { value: 0, sigma: 0 }
        : delayBetween({ earlier: reference.response, later: response });
    if (shift === null) continue;
    takes.push({ measurement, shiftSeconds: shift.value, shiftSigmaSeconds: shift.sigma });
    const still = movedEarlier(response, shift.value);
    const gain = relativeGain(reference.response, still);
    for (let i = 0; i < count; i++) {
      const weight = (gain / response.sigma[i]) ** 2;
      real[i] += (weight * still.real[i]) / gain;
      imag[i] += (weight * still.imag[i]) / gain;
      weights[i] += weight;
    }
  }
  const response = frequencyResponse({
    real: real.map((value, i) => value / weights[i]),
    imag: imag.map((value, i) => value / weights[i]),
    sigma: weights.map((weight) => 1 / Math.sqrt(weight)),
  });
  return { response, takes };
}

/** Level of `other` over `one`, by least squares over all frequencies weighted by noise. */
function relativeGain(one: FrequencyResponse, other: FrequencyResponse): number {
  let cross = 0;
  let power = 0;
  for (let i = 0; i < one.real.length; i++) {
    const weight = 1 / (one.sigma[i] * other.sigma[i]);
    cross += weight * (one.real[i] * other.real[i] + one.imag[i] * other.imag[i]);
    power += weight * (one.real[i] ** 2 + one.imag[i] ** 2);
  }
  return cross / power;
}
