import { indexRange, type RangeHz } from '../feeds/flatness.ts';
import { findingsAbout, limitersOn, type PlanContext } from '../plan-context.ts';

export interface LevelAgainstMiddle {
  readonly setting: number;
  /** On the frequency grid, against the mid band of the same setting. */
  readonly levelDb: Float64Array;
}

/** An octave of bass and one of treble, far from the middle (chosen here). */
const BASS_HZ: RangeHz = [40, 80];
const TREBLE_HZ: RangeHz = [6000, 12_000];
/** A fall that nobody overlooks. */
const OBVIOUS_DB = 3;
/** A loudness contour has let go in the upper half of the settings: what still falls there is a cut. */
const STILL_FALLING_DB = 1;
/** More than loudness contours lift (common practice: 6 to 10 dB): then two settings are enough. */
const MORE_THAN_LOUDNESS_DB = 12;
/** Treble that goes along with the bass is a loudness contour letting go. */
const TREBLE_GOES_ALONG_DB = 1.5;

/**
 * The setting with most bass, for a tap of which no plateau was recorded, where it is plain that the bass falls from there
 * on; null where a loudness contour, a limiter or nothing at all would show the same.
 */
export function obviousReference(
  context: PlanContext,
  tapId: string,
  levels: readonly LevelAgainstMiddle[],
): readonly number[] | null {
  if (limitersOn(context, [tapId]).length > 0) return null;
  const [contour] = findingsAbout(context, 'loudness-contour', [tapId]);
  const candidates = levels.filter(({ setting }) => contour === undefined || setting > contour.upToSetting);
  const bass = candidates.map(({ levelDb }) => meanDb(levelDb, BASS_HZ));
  const from = bass.indexOf(Math.max(...bass));
  const last = candidates.length - 1;
  const fallDb = bass[from] - bass[last];
  if (candidates.length < 2 || fallDb < OBVIOUS_DB) return null;
  const middle = Math.floor((from + last) / 2);
  const stillFalls = middle > from && bass[middle] - bass[last] >= STILL_FALLING_DB;
  if (!stillFalls && fallDb < MORE_THAN_LOUDNESS_DB) return null;
  const trebleFallDb =
    meanDb(candidates[from].levelDb, TREBLE_HZ) - meanDb(candidates[last].levelDb, TREBLE_HZ);
  return trebleFallDb >= TREBLE_GOES_ALONG_DB ? null : [candidates[from].setting];
}

function meanDb(levelDb: Float64Array, band: RangeHz): number {
  const { first, last } = indexRange(band);
  return levelDb.subarray(first, last + 1).reduce((total, db) => total + db, 0) / (last - first + 1);
}
