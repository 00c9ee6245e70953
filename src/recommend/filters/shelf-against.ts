import { FLAT_Q } from '../../dsp/filter-prototype.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import { indexRange, type RangeHz } from '../feeds/flatness.ts';
import { bandsDb, type EqBand } from './eq-bands.ts';

/** Eight points an octave show any shelf. */
const EVERY_POINT = 6;
const LOW_CORNERS_HZ = Array.from({ length: 10 }, (_, i) => 80 * 2 ** (i / 3));
const HIGH_CORNERS_HZ = Array.from({ length: 10 }, (_, i) => 1250 * 2 ** (i / 3));
const MOST_CUT_DB = -12;
/** A shelf that evens the rest out by less is not one (RMS). */
const HAS_TO_HELP_DB = 0.5;
/** A band narrower than this has no slope to speak of. */
const FEWEST_POINTS = 24;

/** The one shelf that makes a curve most even within its band; null where none of the wanted size helps. */
export function shelfAgainst(
  levelDb: Float64Array,
  {
    bandHz,
    mostBoostDb,
    worthDb,
  }: { readonly bandHz: RangeHz; readonly mostBoostDb: number; readonly worthDb: number },
): EqBand | null {
  const { first, last } = indexRange(bandHz);
  const thin = (values: Float64Array) =>
    values.subarray(first, last + 1).filter((_, i) => i % EVERY_POINT === 0);
  const [frequencyHz, level] = [thin(gridFrequencyHz), thin(levelDb)];
  if (frequencyHz.length < FEWEST_POINTS) return null;
  const without = deviationDb(level);
  let best: { band: EqBand | null; rmsDb: number } = { band: null, rmsDb: without - HAS_TO_HELP_DB };
  for (const [shape, corners] of [
    ['low shelf', LOW_CORNERS_HZ],
    ['high shelf', HIGH_CORNERS_HZ],
  ] as const) {
    for (const cornerHz of corners.filter((hz) => hz > bandHz[0] && hz < bandHz[1])) {
      for (let gainDb = MOST_CUT_DB; gainDb <= mostBoostDb; gainDb++) {
        if (Math.abs(gainDb) < worthDb) continue;
        const band: EqBand = { shape, frequencyHz: cornerHz, gainDb, q: FLAT_Q };
        const shelf = bandsDb([band], frequencyHz);
        const rmsDb = deviationDb(level.map((db, i) => db + shelf[i]));
        if (rmsDb < best.rmsDb) best = { band, rmsDb };
      }
    }
  }
  return best.band;
}

/** RMS about the mean. */
function deviationDb(levelDb: Float64Array): number {
  const mean = levelDb.reduce((sum, db) => sum + db, 0) / levelDb.length;
  return Math.sqrt(levelDb.reduce((sum, db) => sum + (db - mean) ** 2, 0) / levelDb.length);
}
