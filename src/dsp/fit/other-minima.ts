import { type Candidate, extraOffset } from './candidate.ts';
import { parameterCount } from './filter-terms.ts';
import type { LogResponse } from './log-response.ts';
import { FIRST_TERM_PARAMETER, fitResponse } from './response-fit.ts';

/** Peaks and shelves this near a corner can change places with it. */
const NEAR_OCTAVES = 2;
/** Where the corner is started: on either side of the one found. */
const CORNER_MOVES = [Math.SQRT1_2, Math.SQRT2];
/** Decibels by which the term's gain is started off the one found: what was a lift may as well be a cut, or the reverse. */
const GAIN_MOVES_DB = [-4, 4];
/** Corners that differ by less are one minimum (ln Hz). */
const SAME_CORNER = 0.002;

/**
 * Other values of a candidate's own terms at which the fit comes to rest: a low-pass with a shelf below its corner may fit
 * as well with a lower corner and the opposite shelf, which the covariance around either does not show.
 *
 * @returns fits to the same data, of whatever chi-square they reached
 */
export function otherMinima(data: LogResponse, best: Candidate): Candidate[] {
  const { shape, parameters } = best.fit;
  const corners = Array.from(
    { length: extraOffset(best) - FIRST_TERM_PARAMETER },
    (_, i) => FIRST_TERM_PARAMETER + i,
  );
  let at = extraOffset(best);
  const starts: Float64Array[] = [];
  for (const extra of best.extras) {
    const term = at;
    at += parameterCount(extra);
    if (extra.kind === 'edge') continue;
    for (const corner of corners) {
      if (Math.abs(parameters[corner] - parameters[term]) > NEAR_OCTAVES * Math.LN2) continue;
      for (const move of CORNER_MOVES)
        for (const gainDb of GAIN_MOVES_DB) {
          const start = Float64Array.from(parameters);
          start[corner] += Math.log(move);
          start[term + 1] += gainDb;
          starts.push(start);
        }
    }
  }
  return starts
    .map((start) => fitResponse(data, shape, { termParameters: start.slice(FIRST_TERM_PARAMETER) }))
    .filter((fit) =>
      corners.some((corner) => Math.abs(fit.parameters[corner] - parameters[corner]) > SAME_CORNER),
    )
    .map((fit) => ({ ...best, fit }));
}
