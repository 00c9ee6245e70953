import { median } from '../../dsp/statistics.ts';
import { type GridSpan, gridFrequencyHz, gridSpan, type RangeHz } from '../../model/frequency-grid.ts';
import type { Flatness } from '../../model/recommendation.ts';

/** What a full-range feed should carry, and what a subwoofer needs (common practice: subwoofers end at 60 to 100 Hz). */
export const FULL_RANGE_HZ = [30, 15_000] as const;
export const SUBWOOFER_RANGE_HZ = [30, 70] as const;

/** Points this far under the highest do not count for the middle level: they are stop band. */
const PASS_BAND_DB = 12;
/** A band ends where the level is this far below its middle (common practice: half the voltage). */
export const BAND_END_DB = -6;
/** Ripple is read half an octave inside the band's ends, so that a roll-off is not called ripple. */
export const INSIDE_EDGE_RATIO = Math.SQRT2;
/** Where the taps together are this far down, what is left is hum and noise: it cannot cancel anything that is heard. */
export const NOTHING_TO_CANCEL_DB = -12;
/** A deeper cancellation is a full null: recordings do not tell them apart. */
export const FULL_NULL_DB = -60;

/**
 * Judges a sum on the frequency grid.
 *
 * `sumDb` is the sum, `withoutCancellationDb` the same taps with their magnitudes added: where the two differ, taps
 * work against each other. `levelAgainstDb`, where given, is the level that `levelDb` is stated against.
 */
export function flatnessOf({
  sumDb,
  withoutCancellationDb,
  wantedHz,
  levelAgainstDb = null,
}: {
  readonly sumDb: Float64Array;
  readonly withoutCancellationDb: Float64Array;
  readonly wantedHz: RangeHz;
  readonly levelAgainstDb?: number | null;
}): Flatness {
  const wanted = gridSpan(wantedHz);
  const middleDb = middleLevelDb(sumDb, wanted);
  const bandHz = bandOf(sumDb, middleDb);
  const inside = rippleRange(bandHz, wantedHz);
  let highest = Number.NEGATIVE_INFINITY;
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = inside.first; i <= inside.last; i++) {
    highest = Math.max(highest, sumDb[i]);
    lowest = Math.min(lowest, sumDb[i]);
  }
  const dip = worstDip({ sumDb, withoutCancellationDb }, wanted);
  return {
    rippleDb: Math.min(highest - lowest, -FULL_NULL_DB),
    worstDipDb: dip.db,
    worstDipHz: dip.hz,
    bandHz,
    levelDb: levelAgainstDb === null ? 0 : middleDb - levelAgainstDb,
  };
}

/** Median of what lies in the pass band: a null or a roll-off does not move it. */
export function middleLevelDb(levelDb: Float64Array, { first, last }: GridSpan): number {
  let top = Number.NEGATIVE_INFINITY;
  for (let i = first; i <= last; i++) top = Math.max(top, levelDb[i]);
  return median(levelDb.subarray(first, last + 1).filter((db) => db > top - PASS_BAND_DB));
}

function bandOf(sumDb: Float64Array, middleDb: number): [number, number] | null {
  const passes = (db: number) => db > middleDb + BAND_END_DB;
  const first = sumDb.findIndex(passes);
  const last = sumDb.findLastIndex(passes);
  return first < 0 ? null : [gridFrequencyHz[first], gridFrequencyHz[last]];
}

function rippleRange(bandHz: RangeHz | null, wantedHz: RangeHz): GridSpan {
  if (bandHz === null) return gridSpan(wantedHz);
  const inside = gridSpan([
    Math.max(wantedHz[0], Math.min(bandHz[0] * INSIDE_EDGE_RATIO, wantedHz[1])),
    Math.min(wantedHz[1], Math.max(bandHz[1] / INSIDE_EDGE_RATIO, wantedHz[0])),
  ]);
  return inside.first <= inside.last ? inside : gridSpan(wantedHz);
}

/** A sum of one tap is that tap: what is left is the rounding of two logarithms, and where it lies says nothing. */
const ROUNDING_DB = 1e-9;

function worstDip(
  { sumDb, withoutCancellationDb }: { sumDb: Float64Array; withoutCancellationDb: Float64Array },
  { first, last }: GridSpan,
): { db: number; hz: number } {
  const worst = { db: 0, hz: gridFrequencyHz[first] };
  const loudestDb = withoutCancellationDb.subarray(first, last + 1).reduce((a, b) => Math.max(a, b));
  for (let i = first; i <= last; i++) {
    if (withoutCancellationDb[i] < loudestDb + NOTHING_TO_CANCEL_DB) continue;
    const db = Math.max(FULL_NULL_DB, sumDb[i] - withoutCancellationDb[i]);
    if (db < worst.db - ROUNDING_DB) Object.assign(worst, { db, hz: gridFrequencyHz[i] });
  }
  return worst;
}
