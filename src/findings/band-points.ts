import type { Candidate } from '../dsp/fit/candidate.ts';
import { addTerm, parameterCount } from '../dsp/fit/filter-terms.ts';
import { type FrequencyAxis, frequencyAxis } from '../dsp/fit/frequency-axis.ts';
import { FIRST_TERM_PARAMETER, modelOf } from '../dsp/fit/response-fit.ts';
import { gridFrequencyHz, gridPosition } from '../model/frequency-grid.ts';
import { type MeasuredOrReason, measured, notMeasurable } from '../model/measured.ts';
import { COVERAGE_95, edgeOf, type FittedTap, fittedRangeHz, isCoupling } from './fitted-tap.ts';

type Side = 'low' | 'high';

/** A fit as level against frequency on the grid, without its gain and without the coupling of the recorder. */
export interface BandCurve {
  readonly levelDb: Float64Array;
  /** What the band's edges alone take. */
  readonly edgeLossDb: Float64Array;
  /** Edges that the band has: none, one or two. */
  readonly edgeCount: number;
  /** What the edge of one side takes at a frequency. */
  readonly lossDbAt: (frequencyHz: number, side: Side) => number;
}

const DB_PER_NEPER = 20 / Math.LN10;
/** The pass band is where the edges themselves take less than this. */
const PASS_BAND_LOSS_DB = 1;
/** Reduced chi-square above which the fit is only a guide and the measured curve itself is read. */
const TRUSTED_FIT = 2;
/** Points of the grid, either way, over which the measured curve is then smoothed: a twelfth of an octave. */
const SMOOTHED_POINTS = 2;

/**
 * The point at which a tap's response leaves its pass-band level less `dropDb`, from the fit (the measured curve where the fit
 * is poor). Its uncertainty holds the noise, through the fit's covariance, and how far rivals put it elsewhere.
 */
export function minusPoint(tap: FittedTap, of: { side: Side; dropDb: number }): MeasuredOrReason {
  const residual = tap.reducedChiSquare < TRUSTED_FIT ? null : residualDb(tap);
  const lnPoint = (candidate: Candidate, parameters?: Float64Array) =>
    lnCrossing(tap, bandCurve(candidate, parameters), residual, of);
  const here = lnPoint(tap.best);
  if (here === null) {
    return notMeasurable(
      `the response does not fall by ${of.dropDb.toFixed(0)} dB inside the band that stands clear of the noise`,
    );
  }
  const { parameters, covariance } = tap.best.fit;
  const size = parameters.length;
  const gradient = Float64Array.from(parameters, (value, p) => {
    if (p < FIRST_TERM_PARAMETER) return 0;
    const step = 0.3 * Math.sqrt(covariance[p * size + p]) + 1e-9;
    const moved = lnPoint(
      tap.best,
      parameters.map((other, q) => (q === p ? value + step : other)),
    );
    return moved === null ? 0 : (moved - here) / step;
  });
  let variance = 0;
  for (let p = 0; p < size; p++) {
    for (let q = 0; q < size; q++) variance += gradient[p] * gradient[q] * covariance[p * size + q];
  }
  const spread = Math.max(0, ...tap.rivals.map((rival) => Math.abs((lnPoint(rival) ?? here) - here)));
  const value = Math.exp(here);
  const noise = COVERAGE_95 * Math.sqrt(Math.max(0, variance) * tap.reducedChiSquare);
  return measured({ value, plusMinus: value * Math.hypot(noise, spread) });
}

export function bandCurve(candidate: Candidate, parameters = candidate.fit.parameters): BandCurve {
  const axis = axisAt(candidate.fit.shape.sampleRateHz);
  const { levelDb, edgeLossDb, losses } = emptyCurve();
  let at = FIRST_TERM_PARAMETER;
  for (const term of candidate.fit.shape.terms) {
    const own = parameters.subarray(at, at + parameterCount(term));
    at += own.length;
    const side =
      term === edgeOf(candidate, 'low')?.shape
        ? 'low'
        : term === edgeOf(candidate, 'high')?.shape
          ? 'high'
          : null;
    if (side === null && isCoupling(term, Math.exp(own[0]))) continue;
    const sums = { lnMagnitude: new Float64Array(levelDb.length), phase: new Float64Array(levelDb.length) };
    addTerm(
      term,
      own,
      axis,
      sums,
      Array.from(own, () => new Float64Array(2 * levelDb.length)),
    );
    for (let i = 0; i < levelDb.length; i++) {
      const db = DB_PER_NEPER * sums.lnMagnitude[i];
      levelDb[i] += db;
      if (side === null) continue;
      edgeLossDb[i] -= db;
      losses[side][i] -= db;
    }
  }
  const last = levelDb.length - 1;
  const indexOf = (hz: number) => Math.max(0, Math.min(last, Math.round(gridPosition(hz))));
  const edgeCount = ['low', 'high'].filter((side) => edgeOf(candidate, side as Side) !== null).length;
  return { levelDb, edgeLossDb, edgeCount, lossDbAt: (hz, side) => losses[side][indexOf(hz)] };
}

/**
 * Pass-band level: the median, over the part of the band where the edges take least (within 1 dB), of the level with the
 * edges' own loss beyond that added back; evenly over the logarithm of frequency. A median ignores peaks that fill less than
 * half of the band; without any it is the highest level that the edges let through.
 */
export function passBandLevelDb(
  { levelDb, edgeLossDb, edgeCount }: BandCurve,
  rangeHz: readonly [number, number],
): number {
  const inRange = Array.from(gridFrequencyHz, (hz, i) =>
    hz >= rangeHz[0] && hz <= rangeHz[1] ? i : -1,
  ).filter((i) => i >= 0);
  const least = Math.min(...inRange.map((i) => edgeLossDb[i]));
  // A single edge lets everything through far from it, even where the recording ends before that.
  const peakLoss = edgeCount > 1 ? least : 0;
  const levels = inRange
    .filter((i) => edgeLossDb[i] <= least + PASS_BAND_LOSS_DB)
    .map((i) => levelDb[i] + edgeLossDb[i])
    .sort((a, b) => a - b);
  const middle = (levels.length - 1) / 2;
  return 0.5 * (levels[Math.floor(middle)] + levels[Math.ceil(middle)]) - peakLoss;
}

/**
 * Frequency at which a curve leaves a level for good towards one side: the outermost crossing, so that a dip inside the
 * band is not taken for its end. Null where it does not fall that far within the range.
 */
export function outermostCrossingHz(
  levelDb: Float64Array,
  { thresholdDb, side, rangeHz }: { thresholdDb: number; side: Side; rangeHz: readonly [number, number] },
): number | null {
  const count = levelDb.length;
  const step = side === 'low' ? 1 : -1;
  for (let i = side === 'low' ? 0 : count - 1; i + step >= 0 && i + step < count; i += step) {
    const [outside, inside] = [levelDb[i], levelDb[i + step]];
    if (inside < thresholdDb) continue;
    if (outside >= thresholdDb) return null;
    const part = (thresholdDb - outside) / (inside - outside);
    const crossing = gridFrequencyHz[i] * (gridFrequencyHz[i + step] / gridFrequencyHz[i]) ** part;
    return crossing >= rangeHz[0] && crossing <= rangeHz[1] ? crossing : null;
  }
  return null;
}

/** RMS of what the fit misses, an octave either way of a frequency, beside what noise explains; decibels. */
export function fitMisfitDb({ data, best, reducedChiSquare }: FittedTap, aroundHz: number): number {
  if (reducedChiSquare < TRUSTED_FIT) return 0;
  const model = modelOf(best.fit, data.frequencyHz);
  let squares = 0;
  let noise = 0;
  let count = 0;
  data.frequencyHz.forEach((hz, i) => {
    if (Math.abs(Math.log2(hz / aroundHz)) > 1) return;
    squares += (data.lnMagnitude[i] - model.lnMagnitude[i]) ** 2;
    noise += data.weight[i] ** -2;
    count++;
  });
  return count === 0 ? 0 : DB_PER_NEPER * Math.sqrt(Math.max(0, squares - noise) / count);
}

function lnCrossing(
  tap: FittedTap,
  curve: BandCurve,
  residual: Float64Array | null,
  { side, dropDb }: { side: Side; dropDb: number },
): number | null {
  const rangeHz = fittedRangeHz(tap);
  const thresholdDb = passBandLevelDb(curve, rangeHz) - dropDb;
  const levelDb = residual === null ? curve.levelDb : curve.levelDb.map((value, i) => value + residual[i]);
  const crossing = outermostCrossingHz(levelDb, { thresholdDb, side, rangeHz });
  return crossing === null ? null : Math.log(crossing);
}

/** What the best fit leaves of the measured level, smoothed; constant outside the fitted range. */
function residualDb(tap: FittedTap): Float64Array {
  const { real, imag } = tap.average.response;
  const model = modelOf(tap.best.fit, gridFrequencyHz);
  const raw = real.map((re, i) => DB_PER_NEPER * (Math.log(Math.hypot(re, imag[i])) - model.lnMagnitude[i]));
  const [first, last] = fittedRangeHz(tap).map((hz) => Math.round(gridPosition(hz)));
  return raw.map((_, i) => {
    let sum = 0;
    for (let j = i - SMOOTHED_POINTS; j <= i + SMOOTHED_POINTS; j++)
      sum += raw[Math.max(first, Math.min(last, j))];
    return sum / (2 * SMOOTHED_POINTS + 1);
  });
}

const axes = new Map<number | null, FrequencyAxis>();

function axisAt(sampleRateHz: number | null): FrequencyAxis {
  const axis = axes.get(sampleRateHz) ?? frequencyAxis(gridFrequencyHz, sampleRateHz);
  axes.set(sampleRateHz, axis);
  return axis;
}

function emptyCurve() {
  const zeros = () => new Float64Array(gridFrequencyHz.length);
  return { levelDb: zeros(), edgeLossDb: zeros(), losses: { low: zeros(), high: zeros() } };
}
