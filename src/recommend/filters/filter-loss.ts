import { decibels, decibelsOfPower, ratioOf } from '../../dsp/decibels.ts';
import { orderOfSlope } from '../../dsp/filter-prototype.ts';

/**
 * What a high-pass or low-pass takes from a tone, decibels: least and most of the usual kinds, Butterworth and
 * Linkwitz-Riley (two Butterworth filters of half the order), by their closed forms.
 */
export function filterLossDb({
  type,
  cornerHz,
  slopeDbPerOctave,
  toneHz,
}: {
  readonly type: 'high-pass' | 'low-pass';
  readonly cornerHz: number;
  readonly slopeDbPerOctave: number;
  readonly toneHz: number;
}): { leastDb: number; mostDb: number } {
  const order = orderOfSlope(slopeDbPerOctave);
  const ratio = type === 'high-pass' ? cornerHz / toneHz : toneHz / cornerHz;
  const butterworth = decibelsOfPower(1 + ratio ** (2 * order));
  const linkwitzRiley = order % 2 === 0 ? decibels(1 + ratio ** order) : butterworth;
  return { leastDb: Math.min(butterworth, linkwitzRiley), mostDb: Math.max(butterworth, linkwitzRiley) };
}

/** Of a filter whose slope nobody gave (common practice). */
export const USUAL_SLOPE_DB_PER_OCTAVE = 24;

/** A filter of an amplifier as it is to be set. */
export interface PlannedFilter {
  readonly type: 'high-pass' | 'low-pass';
  readonly cornerHz: number;
  readonly slopeDbPerOctave: number;
}

/** Within this a tone counts as passed: gains are set with the filters out, and corners are set by hand. */
const PASS_BAND_DB = 3.1;

/** The share of a tone's volts that gets through, all of it inside the pass band; the least loss of the usual kinds. */
export function passedBy(filter: PlannedFilter, toneHz: number): number {
  const { leastDb } = filterLossDb({ ...filter, toneHz });
  return leastDb <= PASS_BAND_DB ? 1 : ratioOf(-leastDb);
}
