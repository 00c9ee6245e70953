import { delayBetween, movedEarlier } from '../../measure/sweeps/delay-between.ts';
import { frequencyResponse } from '../../measure/sweeps/trusted-band.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import { sameShape } from '../bass/same-shape.ts';

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
  const alike = pairsAlike(usable);
  const groups = usable.map((reference, index) => ({
    reference,
    fromMiddle: Math.abs(index - middle),
    members: usable.filter(
      (_, other) => other === index || alike[Math.min(index, other)][Math.max(index, other)],
    ),
  }));
  groups.sort((a, b) => b.members.length - a.members.length || a.fromMiddle - b.fromMiddle);
  const { reference, members } = groups[0];
  return weightedMean(reference, members);
}

interface Usable {
  readonly measurement: TapMeasurement;
  readonly response: FrequencyResponse;
}

/** Of each two settings whether their shapes agree: row and column by index, the lower first. */
function pairsAlike(usable: readonly Usable[]): boolean[][] {
  return usable.map((one, i) => usable.map((other, j) => j > i && sameShape(one.response, other.response)));
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
