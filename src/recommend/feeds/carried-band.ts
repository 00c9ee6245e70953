import { gridFrequencyHz, gridSpan, type RangeHz } from '../../model/frequency-grid.ts';
import { BAND_END_DB, INSIDE_EDGE_RATIO, middleLevelDb } from './flatness.ts';

/**
 * From the lowest to the highest frequency that any of the taps carries, half an octave inside where they roll off: there
 * alone sums are compared, because bass that no tap has is missing from all of them alike.
 *
 * @param levelsDb of each tap, on the frequency grid
 */
export function carriedBand(levelsDb: readonly Float64Array[], wantedHz: RangeHz): RangeHz {
  const wanted = gridSpan(wantedHz);
  let [first, last] = [wanted.last, wanted.first];
  for (const levelDb of levelsDb) {
    const endDb = middleLevelDb(levelDb, wanted) + BAND_END_DB;
    for (let i = wanted.first; i <= wanted.last; i++) {
      if (levelDb[i] <= endDb) continue;
      first = Math.min(first, i);
      last = Math.max(last, i);
    }
  }
  const rollsOffBelow = first > wanted.first;
  const rollsOffAbove = last < wanted.last;
  const lowHz = gridFrequencyHz[first] * (rollsOffBelow ? INSIDE_EDGE_RATIO : 1);
  const highHz = gridFrequencyHz[last] / (rollsOffAbove ? INSIDE_EDGE_RATIO : 1);
  return lowHz < highHz ? [lowHz, highHz] : wantedHz;
}
