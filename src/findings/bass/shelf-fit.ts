import { DB_PER_NEPER } from '../../dsp/decibels.ts';
import type { EqBand } from '../../dsp/eq-band.ts';
import { addTerm } from '../../dsp/fit/filter-terms.ts';
import { frequencyAxis } from '../../dsp/fit/frequency-axis.ts';
import { leastSquares } from '../../dsp/fit/least-squares.ts';
import { nearestBand } from '../../dsp/fit/nearest-band.ts';
import { type BassCurve, LARGEST_OFFSET_DB } from './bass-fit.ts';

type Shelf = Omit<EqBand, 'shape'>;

interface ShelfFit {
  readonly sumOfSquares: number;
  /** One for each setting. */
  readonly shelves: readonly Shelf[];
}

/** Deeper is no shelf: radios take 6 to 15 dB (common practice), and a high-pass has no bottom. */
export const DEEPEST_SHELF_DB = -24;
const FREQUENCY_HZ = [10, 500] as const;
/** From as flat as an order-1 shelf to one that overshoots by a decibel or two (common practice: 0.5 to 1). */
const Q = [0.4, 1.2] as const;
const FREQUENCIES_TRIED_HZ = Array.from(
  { length: 20 },
  (_, i) => FREQUENCY_HZ[0] * (FREQUENCY_HZ[1] / FREQUENCY_HZ[0]) ** (i / 19),
);
/** Where the search begins (chosen here). */
const GAINS_TRIED_DB = [-1, -2, -4, -6, -9, -13, -18, -23];
const QS_TRIED = [0.5, 0.7, 1];
/** Of every depth the shelves tried. */
const SHELVES_TRIED = GAINS_TRIED_DB.map((gainDb) =>
  FREQUENCIES_TRIED_HZ.flatMap((frequencyHz) =>
    QS_TRIED.map((q): EqBand => ({ shape: 'low shelf', frequencyHz, gainDb, q })),
  ),
);
const SEARCH = { iterations: 30, tolerance: 1e-3, giveUpAbove: Number.POSITIVE_INFINITY };

/**
 * Fits a shelf of free frequency, depth and Q to every setting by itself: the quotient of two high-passes of order 2 is one
 * as well, and its frequency moves. An offset of its own, for the tail that reaches into the middle the bass is held against.
 */
export function fitShelves(curves: readonly BassCurve[]): ShelfFit {
  // From the best start of every depth: a shallow shelf and the skirt of a deep one far below look alike from afar.
  const fits = curves.map((curve) =>
    SHELVES_TRIED.map((tried) => refined(curve, nearestTried(curve, tried))).reduce((best, fit) =>
      fit.sumOfSquares < best.sumOfSquares ? fit : best,
    ),
  );
  return {
    sumOfSquares: fits.reduce((sum, { sumOfSquares }) => sum + sumOfSquares, 0),
    shelves: fits.map(({ shelf }) => shelf),
  };
}

function nearestTried({ frequencyHz, changeDb, sigmaDb }: BassCurve, tried: readonly EqBand[]): Shelf {
  return nearestBand({ frequencyHz, levelDb: changeDb, sigmaDb }, { tried }).band;
}

/** Least squares over the logarithm of the frequency, the depth, the logarithm of the Q, and the offset. */
function refined(
  { frequencyHz, changeDb, sigmaDb }: BassCurve,
  start: Shelf,
): { sumOfSquares: number; shelf: Shelf } {
  const count = changeDb.length;
  const axis = frequencyAxis(frequencyHz, null);
  const byTerm = Array.from({ length: 3 }, () => new Float64Array(2 * count));
  const fit = leastSquares(
    {
      residualCount: count,
      lower: Float64Array.of(Math.log(FREQUENCY_HZ[0]), DEEPEST_SHELF_DB, Math.log(Q[0]), -LARGEST_OFFSET_DB),
      upper: Float64Array.of(Math.log(FREQUENCY_HZ[1]), 0, Math.log(Q[1]), LARGEST_OFFSET_DB),
      evaluate: (tried, { residuals, columns }) => {
        const sums = { lnMagnitude: new Float64Array(count), phase: new Float64Array(count) };
        addTerm({ kind: 'shelf' }, tried, axis, sums, byTerm);
        const offsetDb = tried[3];
        for (let i = 0; i < count; i++) {
          residuals[i] = (changeDb[i] - DB_PER_NEPER * sums.lnMagnitude[i] - offsetDb) / sigmaDb[i];
          byTerm.forEach((column, p) => {
            columns[p][i] = (DB_PER_NEPER * column[i]) / sigmaDb[i];
          });
          columns[3][i] = 1 / sigmaDb[i];
        }
      },
    },
    Float64Array.of(Math.log(start.frequencyHz), start.gainDb, Math.log(start.q), 0),
    SEARCH,
  );
  return { sumOfSquares: fit.chiSquare, shelf: shelfOf(fit.parameters) };
}

function shelfOf(parameters: Float64Array): Shelf {
  return {
    frequencyHz: Math.exp(parameters[0]),
    gainDb: parameters[1],
    q: Math.exp(parameters[2]),
  };
}
