import { powerRatioOf } from '../../dsp/decibels.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import { type FrequencyResponse, isWithin } from '../../model/response.ts';

/** Read where a tap is within this of its strongest: its pass band. */
export const PASS_BAND_DB = -10;
/** Responses this alike are in phase or inverted; between, they are merely both there. */
const ALIKE = 0.3;

/** Whether a tap that plays both sides plays one less the other, as a surround decoder makes it. */
export function isDifference(sides: { left: FrequencyResponse; right: FrequencyResponse }): boolean {
  return sideCoherence(sides) < -ALIKE;
}

/** Real part of the coherence of the responses to left and to right in the pass band, -1 to 1. */
function sideCoherence({ left, right }: { left: FrequencyResponse; right: FrequencyResponse }): number {
  const powers = Array.from(gridFrequencyHz, (hz, i) =>
    [left, right].some(({ trustedHz }) => trustedHz !== null && isWithin(trustedHz, hz))
      ? Math.max(power(left, i), power(right, i))
      : 0,
  );
  const floor = Math.max(...powers) * powerRatioOf(PASS_BAND_DB);
  let [leftPower, rightPower, cross] = [0, 0, 0];
  powers.forEach((strongest, i) => {
    if (strongest === 0 || strongest < floor) return;
    leftPower += power(left, i);
    rightPower += power(right, i);
    cross += left.real[i] * right.real[i] + left.imag[i] * right.imag[i];
  });
  return cross / Math.sqrt(leftPower * rightPower + Number.MIN_VALUE);
}

function power({ real, imag }: FrequencyResponse, i: number): number {
  return real[i] * real[i] + imag[i] * imag[i];
}
