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

/** Shapes this close are the same filter: bass that begins to fall is out before it moves a corner by a percent. */
const SAME_SHAPE_DB = 0.1;
/** Standard deviations that noise may add to it over some hundred points. */
const NOISE_SIGMAS = 4.5;
/** Ratios are looked at in running means of this many grid points, which share about one independent value per four. */
const SMOOTHED_POINTS = 13;
const INDEPENDENT_POINTS = 3;
const DB_PER_NEPER = 20 / Math.LN10;

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
  const usable = measurements
    .map((measurement) => ({ measurement, response: responseOf(measurement) }))
    .filter(({ response }) => response.trustedHz !== null);
  if (usable.length === 0) return null;
  const middle = (usable.length - 1) / 2;
  const groups = usable.map((reference, index) => ({
    reference,
    fromMiddle: Math.abs(index - middle),
    members: usable.filter((other) => other === reference || sameShape(reference.response, other.response)),
  }));
  groups.sort((a, b) => b.members.length - a.members.length || a.fromMiddle - b.fromMiddle);
  const { reference, members } = groups[0];
  return weightedMean(reference, members);
}

interface Usable {
  readonly measurement: TapMeasurement;
  readonly response: FrequencyResponse;
}

function sameShape(one: FrequencyResponse, other: FrequencyResponse): boolean {
  const ratioDb: number[] = [];
  const varianceDb: number[] = [];
  gridFrequencyHz.forEach((hz, i) => {
    if (
      ![one, other].every(({ trustedHz }) => trustedHz !== null && hz >= trustedHz[0] && hz <= trustedHz[1])
    )
      return;
    const [a, b] = [one, other].map(({ real, imag }) => Math.hypot(real[i], imag[i]));
    ratioDb.push(DB_PER_NEPER * Math.log(b / a));
    varianceDb.push(DB_PER_NEPER ** 2 * ((one.sigma[i] / a) ** 2 + (other.sigma[i] / b) ** 2));
  });
  if (ratioDb.length < 2 * SMOOTHED_POINTS) return false;
  const smoothed = runningMeans(ratioDb);
  const sigmas = runningMeans(varianceDb).map((variance) => Math.sqrt(variance / INDEPENDENT_POINTS));
  const level = weightedMeanOf(smoothed, sigmas);
  return smoothed.every(
    (value, i) => Math.abs(value - level) <= Math.max(SAME_SHAPE_DB, NOISE_SIGMAS * sigmas[i]),
  );
}

function runningMeans(values: readonly number[]): number[] {
  return values.slice(SMOOTHED_POINTS - 1).map((_, start) => {
    let sum = 0;
    for (let i = start; i < start + SMOOTHED_POINTS; i++) sum += values[i];
    return sum / SMOOTHED_POINTS;
  });
}

function weightedMeanOf(values: readonly number[], sigmas: readonly number[]): number {
  let sum = 0;
  let weights = 0;
  values.forEach((value, i) => {
    const weight = 1 / (sigmas[i] ** 2 + 1e-6);
    sum += weight * value;
    weights += weight;
  });
  return sum / weights;
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
