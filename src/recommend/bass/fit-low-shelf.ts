import { evaluateOnGrid, lowShelfSections } from '../../dsp/filter-prototype.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import { indexRange } from '../feeds/flatness.ts';

/** Where bass restoration works (chosen here). */
const FITTED_HZ = [30, 200] as const;
/** Corners tried: 30 to 200 Hz in twelfths of an octave. */
const CORNERS_HZ = Array.from({ length: 34 }, (_, i) => 30 * 2 ** (i / 12));
/** Gains tried, as parts of the largest need: a shelf reaches half of its gain at its corner. */
const GAIN_PARTS = Array.from({ length: 21 }, (_, i) => 0.8 + 0.05 * i);

/** A shelf that misses the need by more (RMS) is another shape: a high-pass that climbs (common practice). */
const SHELF_FITS_DB = 1;

/**
 * The second-order low shelf that comes nearest to a boost, by least squares from 30 to 200 Hz over a grid of shelves; null
 * where none comes near.
 */
export function fitLowShelf(neededDb: Float64Array): { frequencyHz: number; gainDb: number } | null {
  const { first, last } = indexRange(FITTED_HZ);
  const frequencyHz = gridFrequencyHz.subarray(first, last + 1);
  const wanted = neededDb.subarray(first, last + 1);
  const mostDb = Math.max(...wanted);
  let best = {
    frequencyHz: CORNERS_HZ[0],
    gainDb: 0,
    squares: wanted.reduce((total, db) => total + db * db, 0),
  };
  for (const part of GAIN_PARTS) {
    const sections = lowShelfSections({ gainDb: part * mostDb });
    for (const cornerHz of CORNERS_HZ) {
      const { real, imag } = evaluateOnGrid(sections, { frequencyHz, cornerHz, sampleRateHz: null });
      let squares = 0;
      for (let i = 0; i < wanted.length; i++) {
        squares += (10 * Math.log10(real[i] * real[i] + imag[i] * imag[i]) - wanted[i]) ** 2;
      }
      if (squares < best.squares) best = { frequencyHz: cornerHz, gainDb: part * mostDb, squares };
    }
  }
  if (Math.sqrt(best.squares / wanted.length) > SHELF_FITS_DB) return null;
  return { frequencyHz: best.frequencyHz, gainDb: best.gainDb };
}
