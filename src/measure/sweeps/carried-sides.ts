import { powerRatioOf } from '../../dsp/decibels.ts';
import type { ChannelFacts } from '../../model/check.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import { type FrequencyResponse, isTrusted } from '../../model/response.ts';

/** Read where a tap is within this of its strongest: its pass band. */
export const PASS_BAND_DB = -10;
/** Responses this alike are in phase or inverted; between, they are merely both there. */
const ALIKE = 0.3;

/** A side this far below the other is crosstalk, not programme: radios separate by 30 dB and more (common practice). */
const CROSSTALK_DB = -20;

interface Sides {
  readonly left: FrequencyResponse;
  readonly right: FrequencyResponse;
}

/**
 * What of the programme a tap carries; both sides with opposite signs are their difference, as a surround decoder makes it.
 *
 * @param levels of the two sides against anything that is the same for both; null where nothing of a side is heard
 */
export function carriedSides(
  { leftDb, rightDb }: { leftDb: number | null; rightDb: number | null },
  sides: Sides,
): ChannelFacts['carries'] {
  if (leftDb === null) return rightDb === null ? 'nothing' : 'right';
  if (rightDb === null || rightDb < leftDb + CROSSTALK_DB) return 'left';
  if (leftDb < rightDb + CROSSTALK_DB) return 'right';
  return sideCoherence(sides) < -ALIKE ? 'difference' : 'left and right';
}

/** Real part of the coherence of the responses to left and to right in the pass band, -1 to 1. */
function sideCoherence({ left, right }: Sides): number {
  const powers = Array.from(gridFrequencyHz, (hz, i) =>
    [left, right].some((one) => isTrusted(one, hz)) ? Math.max(power(left, i), power(right, i)) : 0,
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
