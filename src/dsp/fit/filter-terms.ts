import type { FilterFamily, FilterSide } from '../filter-prototype.ts';
import { edgeTable, TABLE_REACH, TABLE_STEP } from './edge-table.ts';
import type { FrequencyAxis } from './frequency-axis.ts';

/**
 * The pieces that a response is fitted with. In logarithms a cascade is a sum, so each piece adds its own logarithm of
 * magnitude and its phase, and its derivatives depend on nothing else.
 */
export type TermShape = EdgeShape | EqShape;
export interface EdgeShape {
  readonly kind: 'edge';
  readonly side: FilterSide;
  readonly family: FilterFamily;
  readonly order: number;
}
interface EqShape {
  /** One kind of shelf serves: a high shelf is a low shelf of the opposite gain and another level. */
  readonly kind: 'peak' | 'shelf';
}

/** Parameters: edge [ln corner in Hz], the others [ln frequency in Hz, gain in dB, ln q]. */
export function parameterCount(shape: TermShape): number {
  return shape.kind === 'edge' ? 1 : 3;
}

export interface LogSums {
  readonly lnMagnitude: Float64Array;
  readonly phase: Float64Array;
}

/** Derivatives by each parameter of one term: of ln magnitude, then of phase, in one array of twice the length. */
type TermColumns = readonly Float64Array[];

/** Adds a term to the sums and fills its derivative columns, where any are given. */
export function addTerm(
  shape: TermShape,
  parameters: Float64Array,
  axis: FrequencyAxis,
  sums: LogSums,
  columns: TermColumns | null,
): void {
  if (shape.kind === 'edge') addEdge(shape, parameters[0], axis, sums, columns?.[0] ?? null);
  else addEq(shape.kind, parameters, axis, sums, columns);
}

function addEdge(
  { family, order, side }: EdgeShape,
  lnCornerHz: number,
  axis: FrequencyAxis,
  { lnMagnitude, phase }: LogSums,
  column: Float64Array | null,
): void {
  const table = edgeTable(family, order);
  const { x, slope } = axis.at(lnCornerHz);
  const mirror = side === 'low-pass' ? 1 : -1;
  const count = lnMagnitude.length;
  const last = table.phase.length - 2;
  for (let i = 0; i < count; i++) {
    const u = mirror * (axis.x[i] - x);
    const position = (u + TABLE_REACH) / TABLE_STEP;
    const node = position < 0 ? 0 : position > last ? last : Math.floor(position);
    const t = position - node;
    const inside = t >= 0 && t <= 1;
    const m = inside
      ? hermite(table.lnMagnitude, table.lnMagnitudeSlope, node, t)
      : beyond(table.lnMagnitude, table.lnMagnitudeSlope, t, last);
    const p = inside ? hermite(table.phase, table.phaseSlope, node, t) : t < 0 ? 0 : table.phase[last + 1];
    lnMagnitude[i] += m;
    phase[i] += mirror * p;
    if (column === null) continue;
    const s = Math.min(1, Math.max(0, t));
    column[i] =
      -mirror * slope * ((1 - s) * table.lnMagnitudeSlope[node] + s * table.lnMagnitudeSlope[node + 1]);
    column[count + i] = -slope * ((1 - s) * table.phaseSlope[node] + s * table.phaseSlope[node + 1]);
  }
}

function hermite(values: Float64Array, slopes: Float64Array, node: number, t: number): number {
  const from = values[node];
  const rise = values[node + 1] - from;
  const a = slopes[node] * TABLE_STEP - rise;
  const b = rise - slopes[node + 1] * TABLE_STEP;
  return from + t * rise + t * (1 - t) * (a * (1 - t) + b * t);
}

/** Past the table a low-pass is flat below and falls straight above. */
function beyond(values: Float64Array, slopes: Float64Array, t: number, last: number): number {
  return t < 0 ? 0 : values[last + 1] + slopes[last + 1] * (t - 1) * TABLE_STEP;
}

/**
 * Peak and low shelf of the "Audio EQ Cookbook" (W3C Note, 8 June 2021): each coefficient is a power of A = 10^(gain/40),
 * the middle ones over Q. Exponents of [s^0, s^1, s^2], above and below the fraction line.
 */
const EXPONENTS = {
  peak: { above: [0, 1, 0], below: [0, -1, 0] },
  shelf: { above: [2, 1.5, 1], below: [0, 0.5, 1] },
} as const;
/** A of the cookbook’s shelves and peaks is 10^(gain/40) (W3C Audio EQ Cookbook). */
const LN_A_PER_DB = Math.LN10 / 40;

function addEq(
  kind: EqShape['kind'],
  [lnHz, gainDb, lnQ]: Float64Array,
  axis: FrequencyAxis,
  { lnMagnitude, phase }: LogSums,
  columns: TermColumns | null,
): void {
  const { above, below } = EXPONENTS[kind];
  const lnA = gainDb * LN_A_PER_DB;
  const [a0, a1, a2] = [Math.exp(above[0] * lnA), Math.exp(above[1] * lnA - lnQ), Math.exp(above[2] * lnA)];
  const [b0, b1, b2] = [Math.exp(below[0] * lnA), Math.exp(below[1] * lnA - lnQ), Math.exp(below[2] * lnA)];
  const { x, slope } = axis.at(lnHz);
  const perCorner = Math.exp(-x);
  const count = lnMagnitude.length;
  const [byFrequency, byGain, byQ] = columns ?? [];
  for (let i = 0; i < count; i++) {
    const w = axis.w[i] * perCorner;
    const ww = w * w;
    const aRe = a0 - a2 * ww;
    const aIm = a1 * w;
    const bRe = b0 - b2 * ww;
    const bIm = b1 * w;
    const aSquare = aRe * aRe + aIm * aIm;
    const bSquare = bRe * bRe + bIm * bIm;
    lnMagnitude[i] += 0.5 * Math.log(aSquare / bSquare);
    phase[i] += Math.atan2(aIm * bRe - aRe * bIm, aRe * bRe + aIm * bIm);
    if (columns === null) continue;
    // d ln(num) = num' conj(num) / |num|^2 = num' / num, likewise below the line; 1/num is (re, -im) / |num|^2.
    const perA = 1 / aSquare;
    const perB = 1 / bSquare;
    const upRe = aRe * perA;
    const upIm = aIm * perA;
    const downRe = bRe * perB;
    const downIm = bIm * perB;
    const aw = -2 * a2 * ww;
    const bw = -2 * b2 * ww;
    const aSelf = aIm * upIm;
    const bSelf = bIm * downIm;
    const aCross = aIm * upRe;
    const bCross = bIm * downRe;
    byFrequency[i] = -slope * (aw * upRe + aSelf - (bw * downRe + bSelf));
    byFrequency[count + i] = -slope * (aCross - aw * upIm - (bCross - bw * downIm));
    const aA = above[0] * a0 - above[2] * a2 * ww;
    const bA = below[0] * b0 - below[2] * b2 * ww;
    byGain[i] = LN_A_PER_DB * (aA * upRe + above[1] * aSelf - (bA * downRe + below[1] * bSelf));
    byGain[count + i] = LN_A_PER_DB * (above[1] * aCross - aA * upIm - (below[1] * bCross - bA * downIm));
    byQ[i] = bSelf - aSelf;
    byQ[count + i] = bCross - aCross;
  }
}
