import { type Candidate, edgesAndRateKey, edgesKey, extraOffset } from './candidate.ts';
import { bestOfEachEdges, bestOfEachKey } from './candidate-ranking.ts';
import { HIGHEST_COUPLING_HZ, MOST_EQ_GAIN_DB } from './eq-atoms.ts';
import { parameterCount } from './filter-terms.ts';
import { type LogResponse, roughened } from './log-response.ts';
import { FINALISTS, Search, type SearchStart } from './model-search.ts';
import { otherMinima } from './other-minima.ts';
import { withWindowError } from './window-error.ts';

interface SearchResult {
  readonly best: Candidate;
  /** What was fitted last: the response with the window's own error in its weights. */
  readonly data: LogResponse;
  /** Chi-square per degree of freedom of the best, 1 where noise explains everything. */
  readonly reducedChiSquare: number;
  /** The best with every other pair of edges, and with the same at other rates, with at most as many extras, and other values of its own terms. */
  readonly others: readonly Candidate[];
}

/** Candidates that are carried on when a term is added, and into the final comparison. */
const ROUGH_BEAM = 12;
const FINE_BEAM = 4;
/** From this many on, a wrong pair of edges may have been mended by them: every pair gets a try of its own. */
const MANY_EXTRAS = 2;
/** Chi-square per degree of freedom that noise alone hardly reaches: the search ended at the wrong terms. */
const UNEXPLAINED = 1.5;
/** A band that begins above this shows no coupling. */
const SHOWS_COUPLING_HZ = 40;

/**
 * Finds the edges, and as few peaks and shelves as the data ask for, that explain a response.
 *
 * The structure is looked for in a roughened copy of the data, in which skirts 60 dB down do not yet outweigh the pass
 * band; the finalists are then fitted, and extended where needed, with all that the data can tell.
 */
export function searchModel(data: LogResponse, start: SearchStart): SearchResult {
  const rough = new Search(roughened(data), start, ROUGH_BEAM);
  const finalists = rough.extended(rough.edgesAlone()).slice(0, FINALISTS);
  const simpler = finalists[0].extras.length < MANY_EXTRAS ? [] : rough.eachExtended(finalists[0]);
  const weighed = withWindowError(data, finalists[0].fit);
  const fine = new Search(weighed, start, FINE_BEAM);
  const first = fine.bestExplanation([...finalists, ...simpler]);
  const coupled = isExplained(fine, first) ? first : fine.mostWorth([first, ...behindCoupling(rough, fine)]);
  const again =
    coupled.extras.length < MANY_EXTRAS
      ? coupled
      : fine.bestExplanation([coupled, ...fine.eachExtended(coupled)]);
  const best = isPlausible(again) ? again : coupled;
  const affordable = (candidate: Candidate) => candidate.extras.length <= best.extras.length;
  for (const other of bestOfEachKey(fine.archive.filter(affordable), edgesKey)) fine.polished(other, best);
  const others = bestOfEachKey(fine.archive.filter(affordable), edgesAndRateKey).filter(
    (candidate) => edgesAndRateKey(candidate) !== edgesAndRateKey(best),
  );
  others.push(...otherMinima(weighed, best));
  return { best, data: weighed, reducedChiSquare: fine.reduced(best), others };
}

function isExplained(fine: Search, found: Candidate): boolean {
  return fine.reduced(found) < UNEXPLAINED || fine.data.frequencyHz[0] > SHOWS_COUPLING_HZ;
}

/** The search once more from a coupling capacitor, which shelves and peaks below the band can imitate until they are in the way. */
function behindCoupling(rough: Search, fine: Search): Candidate[] {
  const edges = bestOfEachEdges(rough.archive.filter(({ extras }) => extras.length === 0));
  const found = fine.bestExplanation(
    rough.extended(rough.coupled(edges.slice(0, FINALISTS))).slice(0, FINALISTS),
  );
  return isPlausible(found) ? [found] : [];
}

/**
 * Whether the terms beside the edges are what they are called: a coupling that moved into the band, or a shelf deeper than
 * any EQ, stands for an edge, which the first search knows.
 */
function isPlausible(candidate: Candidate): boolean {
  let at = extraOffset(candidate);
  return candidate.extras.every((extra) => {
    const [first, gainDb] = candidate.fit.parameters.subarray(at, at + 2);
    at += parameterCount(extra);
    return extra.kind === 'edge'
      ? first < Math.log(HIGHEST_COUPLING_HZ)
      : Math.abs(gainDb) <= MOST_EQ_GAIN_DB;
  });
}
