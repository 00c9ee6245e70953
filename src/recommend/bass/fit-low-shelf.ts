import type { EqBand } from '../../dsp/eq-band.ts';
import { FLAT_Q } from '../../dsp/filter-prototype.ts';
import { nearestBand } from '../../dsp/fit/nearest-band.ts';
import { gridFrequencyHz, gridSpan } from '../../model/frequency-grid.ts';

/** Where bass restoration works (chosen here). */
const FITTED_HZ = [30, 200] as const;
/** Corners tried: 30 to 200 Hz in twelfths of an octave. */
const CORNERS_HZ = Array.from({ length: 34 }, (_, i) => 30 * 2 ** (i / 12));
/** Gains tried, as parts of the largest need: a shelf reaches half of its gain at its corner. */
const GAIN_PARTS = Array.from({ length: 21 }, (_, i) => 0.8 + 0.05 * i);

/** A shelf that misses the need by more (RMS) is another shape: a high-pass that climbs (common practice). */
const SHELF_FITS_DB = 1;

/** The second-order low shelf that comes nearest to a boost, from 30 to 200 Hz; null where none comes near. */
export function fitLowShelf(neededDb: Float64Array): { frequencyHz: number; gainDb: number } | null {
  const { first, last } = gridSpan(FITTED_HZ);
  const levelDb = neededDb.subarray(first, last + 1);
  const mostDb = Math.max(...levelDb);
  const tried = GAIN_PARTS.flatMap((part) =>
    CORNERS_HZ.map(
      (frequencyHz): EqBand => ({ shape: 'low shelf', frequencyHz, gainDb: part * mostDb, q: FLAT_Q }),
    ),
  );
  const frequencyHz = gridFrequencyHz.subarray(first, last + 1);
  const { band, misfit } = nearestBand({ frequencyHz, levelDb }, { tried });
  return misfit > SHELF_FITS_DB ? null : { frequencyHz: band.frequencyHz, gainDb: band.gainDb };
}
