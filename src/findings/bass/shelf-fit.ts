import { DB_PER_NEPER } from '../../dsp/decibels.ts';
import { leastSquares } from '../../dsp/fit/least-squares.ts';
import { type BassCurve, LARGEST_OFFSET_DB } from './bass-fit.ts';

export interface Shelf {
  readonly frequencyHz: number;
  readonly gainDb: number;
  readonly q: number;
}

export interface ShelfFit {
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
const SEARCH = { iterations: 30, tolerance: 1e-3, giveUpAbove: Number.POSITIVE_INFINITY };
/** Of a power, decibels for each neper of it. */
const DB = DB_PER_NEPER / 2;
/** Of the shelf's root, 10^(gain/40), in logarithms for each decibel. */
const LOG_ROOT_PER_DB = Math.LN10 / 40;

/**
 * Fits a shelf of free frequency, depth and Q to every setting by itself: the quotient of two high-passes of order 2 is one
 * as well, and its frequency moves. An offset of its own, for the tail that reaches into the middle the bass is held against.
 */
export function fitShelves(curves: readonly BassCurve[]): ShelfFit {
  // From the best start of every depth: a shallow shelf and the skirt of a deep one far below look alike from afar.
  const fits = curves.map((curve) =>
    GAINS_TRIED_DB.map((gainDb) => refined(curve, bestTried(curve, gainDb))).reduce((best, fit) =>
      fit.sumOfSquares < best.sumOfSquares ? fit : best,
    ),
  );
  return {
    sumOfSquares: fits.reduce((sum, { sumOfSquares }) => sum + sumOfSquares, 0),
    shelves: fits.map(({ shelf }) => shelf),
  };
}

/**
 * Level of a low shelf of order 2, decibels, in closed form: with u = (f/f0)^2 and A = 10^(gain/40),
 * |H|^2 = A^2 ((A - u)^2 + A u/Q^2) / ((1 - A u)^2 + A u/Q^2).
 *
 * Source: the analogue prototype of the W3C Note "Audio EQ Cookbook", 8 June 2021, as `lowShelfSections`.
 */
export function shelfDb({ frequencyHz, gainDb, q }: Shelf, hz: number): number {
  const u = (hz / frequencyHz) ** 2;
  const root = 10 ** (gainDb / 40);
  const damping = (root * u) / (q * q);
  return gainDb / 2 + DB * Math.log(((root - u) ** 2 + damping) / ((1 - root * u) ** 2 + damping));
}

function bestTried({ frequencyHz, changeDb, sigmaDb }: BassCurve, gainDb: number): Shelf {
  let best: Shelf = { frequencyHz: FREQUENCIES_TRIED_HZ[0], gainDb, q: QS_TRIED[0] };
  let lowest = Number.POSITIVE_INFINITY;
  for (const cornerHz of FREQUENCIES_TRIED_HZ)
    for (const q of QS_TRIED) {
      const tried = { frequencyHz: cornerHz, gainDb, q };
      let sum = 0;
      for (let i = 0; i < changeDb.length && sum < lowest; i++)
        sum += ((changeDb[i] - shelfDb(tried, frequencyHz[i])) / sigmaDb[i]) ** 2;
      if (sum < lowest) [best, lowest] = [tried, sum];
    }
  return best;
}

/** Least squares over the logarithm of the frequency, the depth, the logarithm of the Q, and the offset. */
function refined(
  { frequencyHz, changeDb, sigmaDb }: BassCurve,
  start: Shelf,
): { sumOfSquares: number; shelf: Shelf } {
  const fit = leastSquares(
    {
      residualCount: changeDb.length,
      lower: Float64Array.of(Math.log(FREQUENCY_HZ[0]), DEEPEST_SHELF_DB, Math.log(Q[0]), -LARGEST_OFFSET_DB),
      upper: Float64Array.of(Math.log(FREQUENCY_HZ[1]), 0, Math.log(Q[1]), LARGEST_OFFSET_DB),
      evaluate: (tried, { residuals, columns }) => {
        const shelf = shelfOf(tried);
        const root = 10 ** (shelf.gainDb / 40);
        const inverseQ2 = shelf.q ** -2;
        for (let i = 0; i < changeDb.length; i++) {
          const u = (frequencyHz[i] / shelf.frequencyHz) ** 2;
          const damping = root * u * inverseQ2;
          const top = (root - u) ** 2 + damping;
          const bottom = (1 - root * u) ** 2 + damping;
          const scale = DB / sigmaDb[i];
          residuals[i] = (changeDb[i] - shelfDb(shelf, frequencyHz[i]) - tried[3]) / sigmaDb[i];
          const byLogU =
            (-2 * u * (root - u) + damping) / top - (-2 * root * u * (1 - root * u) + damping) / bottom;
          columns[0][i] = -2 * scale * byLogU;
          const byLogRoot =
            2 + (2 * root * (root - u) + damping) / top - (-2 * root * u * (1 - root * u) + damping) / bottom;
          columns[1][i] = LOG_ROOT_PER_DB * scale * byLogRoot;
          columns[2][i] = -2 * scale * damping * (1 / top - 1 / bottom);
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
