import { DB_PER_NEPER } from '../../dsp/decibels.ts';
import type { FilterFamily } from '../../dsp/filter-prototype.ts';
import { leastSquares } from '../../dsp/fit/least-squares.ts';

/** Bass of one setting against the plateau, at points far enough apart that their noise is independent. */
export interface BassCurve {
  readonly setting: number;
  readonly frequencyHz: Float64Array;
  readonly changeDb: Float64Array;
  readonly sigmaDb: Float64Array;
}

/** A high-pass whose corner moves: its quotient by the same filter at another corner, or by nothing. */
export interface HighPassModel {
  readonly family: Extract<FilterFamily, 'butterworth' | 'linkwitz-riley'>;
  readonly order: number;
}

/** One corner pair for each setting: the change is the filter at `cornerHz` over the filter at `fromHz` (null: over nothing). */
interface CornerFit {
  readonly sumOfSquares: number;
  readonly corners: readonly { readonly fromHz: number | null; readonly cornerHz: number }[];
}

/** Corners tried, before least squares between them. */
const LOWEST_CORNER_HZ = 5;
const HIGHEST_CORNER_HZ = 500;
const CORNERS_TRIED = Float64Array.from(
  { length: 36 },
  (_, i) => LOWEST_CORNER_HZ * (HIGHEST_CORNER_HZ / LOWEST_CORNER_HZ) ** (i / 35),
);
/**
 * Base corners, as positions in those tried, from below the data to above the bass: the search is refined from the best of
 * each group, because steep filters make the tried corners too coarse to choose a base by, and a base below the data is stuck.
 */
const BASE_GROUPS = [
  [0, 9],
  [9, 18],
  [18, CORNERS_TRIED.length - 1],
] as const;
/** In place of a group of base corners: none. */
const NO_BASE = [-1, 0] as const;
/** The first search is coarse, for where to begin (chosen here). */
const SEARCH = { iterations: 12, tolerance: 1e-3, giveUpAbove: Number.POSITIVE_INFINITY };
/** The tail of a shelf of Q 0.4 and -14 dB at 140 Hz takes 1.07 dB from the middle, 300 Hz to 3 kHz. */
export const LARGEST_OFFSET_DB = 1.2;
/** Of a power, decibels for each neper of it. */
const DB = DB_PER_NEPER / 2;

/**
 * Fits a moving high-pass to all settings at once: one base corner (or none) and a corner for each setting.
 * `base: 'each'` frees the base corner as well, which for order 1 is a shelf of that order.
 */
export function fitMovingHighPass(of: {
  curves: readonly BassCurve[];
  model: HighPassModel;
  base: 'none' | 'shared' | 'each';
}): CornerFit {
  const { curves, model, base } = of;
  if (base !== 'each') {
    const tried = levelsTried(curves, model);
    return (base === 'none' ? [NO_BASE] : BASE_GROUPS)
      .map((bases) => refined({ curves, model, start: bestTried({ curves, tried, bases }) }))
      .reduce((best, fit) => (fit.sumOfSquares < best.sumOfSquares ? fit : best));
  }
  const fits = curves.map((curve) => fitMovingHighPass({ curves: [curve], model, base: 'shared' }));
  return {
    sumOfSquares: fits.reduce((sum, fit) => sum + fit.sumOfSquares, 0),
    corners: fits.flatMap(({ corners }) => corners),
  };
}

/** The shelf (of order 1, or of order 2 and Q 0.707) that is the quotient of two high-passes of that order: its middle and its depth. */
export function shelfOfCorners(order: number, { fromHz, cornerHz }: { fromHz: number; cornerHz: number }) {
  return { frequencyHz: Math.sqrt(fromHz * cornerHz), gainDb: 20 * order * Math.log10(fromHz / cornerHz) };
}

/**
 * Level of a high-pass, decibels: Butterworth |H|^2 = 1 / (1 + (corner/f)^2n); Linkwitz-Riley is a Butterworth of half the
 * order, squared. The closed form instead of `dsp/filter-prototype.ts`, because its derivative is wanted too.
 */
export function highPassDb(model: HighPassModel, cornerHz: number, frequencyHz: Float64Array): Float64Array {
  const { stages, power } = exponents(model);
  return frequencyHz.map((hz) => -DB * stages * Math.log1p((cornerHz / hz) ** power));
}

interface Corners {
  readonly fromHz: number | null;
  readonly cornersHz: readonly number[];
}

/** Levels of each curve's frequencies behind each of the corners tried. */
function levelsTried(curves: readonly BassCurve[], model: HighPassModel): Float64Array[][] {
  return curves.map(({ frequencyHz }) =>
    Array.from(CORNERS_TRIED, (corner) => highPassDb(model, corner, frequencyHz)),
  );
}

/** The best of the corners tried: for each of the bases the best corner of every setting. */
function bestTried({
  curves,
  tried,
  bases: [firstBase, endBase],
}: {
  curves: readonly BassCurve[];
  tried: readonly (readonly Float64Array[])[];
  /** First position and the one behind the last; -1 is no base. */
  bases: readonly [number, number];
}): Corners {
  let best = { sum: Number.POSITIVE_INFINITY, from: firstBase, corners: curves.map(() => firstBase + 1) };
  for (let from = firstBase; from < endBase; from++) {
    let sum = 0;
    const corners = curves.map((curve, c) => {
      let lowest = Number.POSITIVE_INFINITY;
      let corner = from + 1;
      for (let i = from + 1; i < CORNERS_TRIED.length; i++) {
        const misfit = misfitOf(curve, tried[c][i], from < 0 ? null : tried[c][from]);
        if (misfit < lowest) {
          lowest = misfit;
          corner = i;
        }
      }
      sum += lowest;
      return corner;
    });
    if (sum < best.sum) best = { sum, from, corners };
  }
  return {
    fromHz: best.from < 0 ? null : CORNERS_TRIED[best.from],
    cornersHz: best.corners.map((corner) => CORNERS_TRIED[corner]),
  };
}

function misfitOf({ changeDb, sigmaDb }: BassCurve, at: Float64Array, from: Float64Array | null): number {
  let sum = 0;
  for (let i = 0; i < at.length; i++) {
    const error = (changeDb[i] - at[i] + (from === null ? 0 : from[i])) / sigmaDb[i];
    sum += error * error;
  }
  return sum;
}

/**
 * Least squares over the logarithms of the corners (first the base where there is one, then one for each setting) and an
 * offset for each setting: a gentle filter reaches into the middle that the bass is held against.
 */
function refined({
  curves,
  model,
  start,
}: {
  curves: readonly BassCurve[];
  model: HighPassModel;
  start: Corners;
}): CornerFit {
  const { stages, power } = exponents(model);
  const bases = start.fromHz === null ? [] : [start.fromHz];
  const corners = [...bases, ...start.cornersHz].map(Math.log);
  const parameters = Float64Array.from([...corners, ...curves.map(() => 0)]);
  const limits = (corner: number, offset: number) =>
    parameters.map((_, p) => (p < corners.length ? corner : offset));
  const starts = curves.map((_, c) =>
    curves.slice(0, c).reduce((sum, { changeDb }) => sum + changeDb.length, 0),
  );
  const fit = leastSquares(
    {
      residualCount: curves.reduce((sum, { changeDb }) => sum + changeDb.length, 0),
      lower: limits(Math.log(LOWEST_CORNER_HZ / 3), -LARGEST_OFFSET_DB),
      upper: limits(Math.log(HIGHEST_CORNER_HZ), LARGEST_OFFSET_DB),
      evaluate: (tried, { residuals, columns }) => {
        curves.forEach(({ frequencyHz, changeDb, sigmaDb }, c) => {
          const own = bases.length + c;
          const offset = corners.length + c;
          for (let i = 0; i < changeDb.length; i++) {
            const row = starts[c] + i;
            const at = Math.exp(power * (tried[own] - Math.log(frequencyHz[i])));
            const from = bases.length === 0 ? 0 : Math.exp(power * (tried[0] - Math.log(frequencyHz[i])));
            const expected = DB * stages * (Math.log1p(from) - Math.log1p(at)) + tried[offset];
            residuals[row] = (changeDb[i] - expected) / sigmaDb[i];
            columns[offset][row] = 1 / sigmaDb[i];
            columns[own][row] = (-DB * stages * power * at) / (1 + at) / sigmaDb[i];
            if (bases.length > 0) columns[0][row] = (DB * stages * power * from) / (1 + from) / sigmaDb[i];
          }
        });
      },
    },
    parameters,
    SEARCH,
  );
  const [fromHz, ...rest] = Array.from(fit.parameters.subarray(0, corners.length), Math.exp);
  const cornersHz = bases.length === 0 ? [fromHz, ...rest] : rest;
  return {
    sumOfSquares: fit.chiSquare,
    corners: cornersHz.map((cornerHz) => ({ fromHz: bases.length === 0 ? null : fromHz, cornerHz })),
  };
}

function exponents({ family, order }: HighPassModel): { stages: number; power: number } {
  const stages = family === 'linkwitz-riley' ? 2 : 1;
  return { stages, power: (2 * order) / stages };
}
