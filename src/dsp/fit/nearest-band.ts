import { bandsDb, type EqBand } from '../eq-band.ts';
import { mean } from '../statistics.ts';

/** A curve to come near to. */
interface WantedCurve {
  readonly frequencyHz: Float64Array;
  readonly levelDb: Float64Array;
  /** Standard deviation of each level, decibels; left out where all count alike, and misfits are then in decibels. */
  readonly sigmaDb?: Float64Array;
}

interface NearestBand {
  readonly band: EqBand;
  /** Root mean square of what is left. */
  readonly misfit: number;
}

/**
 * Of the bands tried the one that comes nearest to a curve, by least squares; the first of equals.
 *
 * @param levelIsFree only the shape counts: the mean of what is left is no misfit
 * @throws RangeError where none is tried
 */
export function nearestBand(
  { frequencyHz, levelDb, sigmaDb }: WantedCurve,
  { tried, levelIsFree = false }: { tried: readonly EqBand[]; levelIsFree?: boolean },
): NearestBand {
  if (tried.length === 0) throw new RangeError('no bands tried: expected one at least');
  let [nearest, lowest] = [tried[0], Number.POSITIVE_INFINITY];
  for (const band of tried) {
    const given = bandsDb([band], frequencyHz);
    const left = levelDb.map((db, i) => (db - given[i]) / (sigmaDb?.[i] ?? 1));
    const middle = levelIsFree ? mean(left) : 0;
    let squares = 0;
    for (const one of left) squares += (one - middle) ** 2;
    if (squares < lowest) [nearest, lowest] = [band, squares];
  }
  return { band: nearest, misfit: Math.sqrt(lowest / levelDb.length) };
}
