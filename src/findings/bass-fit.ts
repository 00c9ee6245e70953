import { evaluateOnGrid, type FilterFamily, prototypeSections } from '../dsp/filter-prototype.ts';

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
export interface CornerFit {
  readonly sumOfSquares: number;
  readonly corners: readonly { readonly fromHz: number | null; readonly cornerHz: number }[];
}

/** Corners tried, before the search between them. */
const LOWEST_CORNER_HZ = 5;
const HIGHEST_CORNER_HZ = 500;
const CORNERS = 90;
const CORNER_RATIO = (HIGHEST_CORNER_HZ / LOWEST_CORNER_HZ) ** (1 / (CORNERS - 1));
const FINEST_STEP = 1e-4;

/**
 * Fits a moving high-pass to all settings at once: one base corner (or none) and a corner for each setting.
 * `fromHz: 'each'` frees the base corner as well, which for orders 1 and 2 is a shelf of that order.
 */
export function fitMovingHighPass(of: {
  curves: readonly BassCurve[];
  model: HighPassModel;
  base: 'none' | 'shared' | 'each';
}): CornerFit {
  const { curves, model, base } = of;
  const cornerHz = Array.from({ length: CORNERS }, (_, i) => LOWEST_CORNER_HZ * CORNER_RATIO ** i);
  const tables = curves.map((curve) =>
    cornerHz.map((corner) => highPassDb(model, corner, curve.frequencyHz)),
  );
  const bestCorner = (c: number, from: number | null) => {
    let best = { sum: Number.POSITIVE_INFINITY, corner: 0 };
    for (let corner = from === null ? 0 : from + 1; corner < CORNERS; corner++) {
      const sum = misfit(curves[c], tables[c][corner], from === null ? null : tables[c][from]);
      if (sum < best.sum) best = { sum, corner };
    }
    return best;
  };
  const bases: (number | null)[] =
    base === 'none' ? [null] : Array.from({ length: CORNERS - 1 }, (_, i) => i);
  const perBase = bases.map((from) => ({ from, found: curves.map((_, c) => bestCorner(c, from)) }));
  if (base === 'each') {
    const corners = curves.map((curve, c) => {
      const best = perBase.reduce((lowest, entry) =>
        entry.found[c].sum < lowest.found[c].sum ? entry : lowest,
      );
      return { curve, fromHz: cornerHz[best.from ?? 0], cornerHz: cornerHz[best.found[c].corner] };
    });
    const refined = corners.map(({ curve, fromHz, cornerHz: corner }) =>
      refine([curve], model, [fromHz, corner], true),
    );
    return {
      sumOfSquares: refined.reduce((sum, { sumOfSquares }) => sum + sumOfSquares, 0),
      corners: refined.flatMap(({ corners: one }) => one),
    };
  }
  const total = ({ found }: (typeof perBase)[number]) => found.reduce((sum, { sum: one }) => sum + one, 0);
  const best = perBase.reduce((lowest, entry) => (total(entry) < total(lowest) ? entry : lowest));
  const start = best.found.map(({ corner }) => cornerHz[corner]);
  return best.from === null
    ? refine(curves, model, start, false)
    : refine(curves, model, [cornerHz[best.from], ...start], true);
}

/** A shelf of order 1 or 2 that is the quotient of two high-passes of that order: its middle and its depth. */
export function shelfOfCorners(order: number, { fromHz, cornerHz }: { fromHz: number; cornerHz: number }) {
  return { frequencyHz: Math.sqrt(fromHz * cornerHz), gainDb: 20 * order * Math.log10(fromHz / cornerHz) };
}

export function highPassDb(model: HighPassModel, cornerHz: number, frequencyHz: Float64Array): Float64Array {
  const sections = prototypeSections({ ...model, side: 'high-pass' });
  const { real, imag } = evaluateOnGrid(sections, { frequencyHz, cornerHz, sampleRateHz: null });
  return real.map((value, i) => 10 * Math.log10(value * value + imag[i] * imag[i] + 1e-30));
}

function misfit(curve: BassCurve, at: Float64Array, from: Float64Array | null): number {
  let sum = 0;
  for (let i = 0; i < at.length; i++) {
    const expected = from === null ? at[i] : at[i] - from[i];
    const error = (curve.changeDb[i] - expected) / curve.sigmaDb[i];
    sum += error * error;
  }
  return sum;
}

/** Pattern search around the best corners tried, on their logarithms. `start` begins with the base where there is one. */
function refine(
  curves: readonly BassCurve[],
  model: HighPassModel,
  start: readonly number[],
  hasBase: boolean,
): CornerFit {
  const cost = (corners: readonly number[]) => {
    const own = hasBase ? corners.slice(1) : corners;
    return curves.reduce((sum, curve, c) => {
      const from = hasBase ? highPassDb(model, corners[0], curve.frequencyHz) : null;
      return sum + misfit(curve, highPassDb(model, own[c], curve.frequencyHz), from);
    }, 0);
  };
  let corners = [...start];
  let lowest = cost(corners);
  for (let step = Math.log(CORNER_RATIO) / 2; step > FINEST_STEP; ) {
    const tries = corners.flatMap((_, i) =>
      [1, -1].map((sign) => corners.map((corner, j) => (i === j ? corner * Math.exp(sign * step) : corner))),
    );
    const costs = tries.map(cost);
    const best = costs.indexOf(Math.min(...costs));
    if (costs[best] < lowest) {
      lowest = costs[best];
      corners = tries[best];
    } else {
      step /= 2;
    }
  }
  const own = hasBase ? corners.slice(1) : corners;
  return {
    sumOfSquares: lowest,
    corners: own.map((cornerHz) => ({ fromHz: hasBase ? corners[0] : null, cornerHz })),
  };
}
