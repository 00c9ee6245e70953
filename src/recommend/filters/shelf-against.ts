import type { EqBand } from '../../dsp/eq-band.ts';
import { FLAT_Q } from '../../dsp/filter-prototype.ts';
import { nearestBand } from '../../dsp/fit/nearest-band.ts';
import { standardDeviation } from '../../dsp/statistics.ts';
import { gridFrequencyHz, gridSpan, type RangeHz } from '../../model/frequency-grid.ts';

/** Eight points an octave show any shelf. */
const EVERY_POINT = 6;
const LOW_CORNERS_HZ = Array.from({ length: 10 }, (_, i) => 80 * 2 ** (i / 3));
const HIGH_CORNERS_HZ = Array.from({ length: 10 }, (_, i) => 1250 * 2 ** (i / 3));
const MOST_CUT_DB = -12;
/** A shelf that evens the rest out by less is not one (RMS). */
const HAS_TO_HELP_DB = 0.5;
/** A band narrower than this has no slope to speak of. */
const FEWEST_POINTS = 24;

interface Wanted {
  readonly bandHz: RangeHz;
  readonly mostBoostDb: number;
  /** A shelf of less is left out. */
  readonly worthDb: number;
}

/** The one shelf that makes a curve most even within its band; null where none of the wanted size helps. */
export function shelfAgainst(levelDb: Float64Array, wanted: Wanted): EqBand | null {
  const { first, last } = gridSpan(wanted.bandHz);
  const thin = (values: Float64Array) =>
    values.subarray(first, last + 1).filter((_, i) => i % EVERY_POINT === 0);
  const [frequencyHz, level] = [thin(gridFrequencyHz), thin(levelDb)];
  const tried = shelvesTried(wanted);
  if (frequencyHz.length < FEWEST_POINTS || tried.length === 0) return null;
  const opposite = { frequencyHz, levelDb: level.map((db) => -db) };
  const { band, misfit } = nearestBand(opposite, { tried, levelIsFree: true });
  return misfit < standardDeviation(level) - HAS_TO_HELP_DB ? band : null;
}

function shelvesTried({ bandHz, mostBoostDb, worthDb }: Wanted): EqBand[] {
  const gainsDb = Array.from(
    { length: Math.floor(mostBoostDb - MOST_CUT_DB) + 1 },
    (_, i) => MOST_CUT_DB + i,
  ).filter((db) => Math.abs(db) >= worthDb);
  const inside = (corners: readonly number[]) => corners.filter((hz) => hz > bandHz[0] && hz < bandHz[1]);
  const shelves = (shape: EqBand['shape'], corners: readonly number[]) =>
    corners.flatMap((frequencyHz) => gainsDb.map((gainDb) => ({ shape, frequencyHz, gainDb, q: FLAT_Q })));
  return [...shelves('low shelf', inside(LOW_CORNERS_HZ)), ...shelves('high shelf', inside(HIGH_CORNERS_HZ))];
}
