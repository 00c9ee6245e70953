import { DB_PER_NEPER } from '../../dsp/decibels.ts';
import type { Candidate } from '../../dsp/fit/candidate.ts';
import { addTerm, parameterCount } from '../../dsp/fit/filter-terms.ts';
import { type FrequencyAxis, frequencyAxis } from '../../dsp/fit/frequency-axis.ts';
import { FIRST_TERM_PARAMETER, modelOf } from '../../dsp/fit/response-fit.ts';
import { modulus } from '../../dsp/modulus.ts';
import { gridFrequencyHz, nearestPoint } from '../../model/frequency-grid.ts';
import { type MeasuredOrReason, measured, notMeasurable } from '../../model/measured.ts';
import { COVERAGE } from '../coverage.ts';
import type { BandCurve, BandEnd } from './band-curve.ts';
import { passBandLevelDb, passBandSpreadDb } from './band-level.ts';
import { edgeOf, type FittedTap, fittedRangeHz, isCoupling } from './fitted-tap.ts';

/** Reduced chi-square above which the fit is only a guide and the measured curve itself is read. */
const TRUSTED_FIT = 2;
/** In ln Hz, decibels or ln q: terms that the data hardly hold would otherwise be moved beyond where a slope means anything. */
const LARGEST_STEP = 0.01;
/** A point known no better is not told: what puts it so far apart, EQ that imitates a filter, may put it anywhere (common practice: a twelfth of an octave). */
const LEAST_CERTAIN = 0.06;
/** Of the parabola between two points of the grid, which is all but straight. */
const BEND_TURNS = 3;
/**
 * Error of level against frequency, 95 %, that neither noise nor the fit shows: points of recordings with hardly any noise
 * lie as far off as this moves them (the accuracy study, 60 to 70 dB).
 */
const SYSTEMATIC_LEVEL_DB = 7e-4;
/** The fit takes its points for independent, which neighbours are not: what follows from it scatters by so much more (the same study). */
export const DEPENDENT_POINTS = 1.2;
/** Points of the grid, either way, over which the measured curve is then smoothed: a twelfth of an octave. */
const SMOOTHED_POINTS = 2;

/**
 * The point at which a tap's response leaves its pass-band level less `dropDb`, from the fit (the measured curve where the fit
 * is poor). Its uncertainty holds the noise, through the fit's covariance, how far rivals put it elsewhere, and how far the
 * choice of the pass band moves its level.
 */
export function minusPoint(tap: FittedTap, of: { side: BandEnd; dropDb: number }): MeasuredOrReason {
  const residual = tap.reducedChiSquare < TRUSTED_FIT ? null : residualDb(tap);
  const lnPoint = (candidate: Candidate, parameters?: Float64Array) =>
    lnCrossing(tap, bandCurve(candidate, parameters), residual, of);
  const here = lnPoint(tap.best);
  if (here === null) {
    return notMeasurable({ code: 'no such fall in the band', dropDb: of.dropDb });
  }
  const { parameters, covariance } = tap.best.fit;
  const size = parameters.length;
  const gradient = Float64Array.from(parameters, (value, p) => {
    if (p < FIRST_TERM_PARAMETER) return 0;
    const step = Math.min(0.3 * Math.sqrt(covariance[p * size + p]), LARGEST_STEP) + 1e-9;
    const moved = lnPoint(
      tap.best,
      parameters.map((other, q) => (q === p ? value + step : other)),
    );
    return moved === null ? 0 : (moved - here) / step;
  });
  const spread = Math.max(0, ...tap.rivals.map((rival) => Math.abs((lnPoint(rival) ?? here) - here)));
  const value = Math.exp(here);
  let variance = 0;
  for (let p = 0; p < size; p++) {
    for (let q = 0; q < size; q++) variance += gradient[p] * gradient[q] * covariance[p * size + q];
  }
  const noise = COVERAGE * DEPENDENT_POINTS * Math.sqrt(Math.max(0, variance) * tap.reducedChiSquare);
  const relative = Math.hypot(noise, spread, byLevel(tap, residual, of));
  return relative > LEAST_CERTAIN
    ? notMeasurable({ code: 'points lie far apart' })
    : measured({ value, plusMinus: value * relative });
}

/** How far, in ln Hz, what is not known of the pass band's level moves a point. */
function byLevel(
  tap: FittedTap,
  residual: Float64Array | null,
  { side, dropDb }: { side: BandEnd; dropDb: number },
): number {
  const curve = bandCurve(tap.best);
  const levelDb = Math.hypot(SYSTEMATIC_LEVEL_DB, passBandSpreadDb(curve, fittedRangeHz(tap)));
  const at = (drop: number) => lnCrossing(tap, curve, residual, { side, dropDb: drop });
  const here = at(dropDb);
  const moved = [at(dropDb - levelDb), at(dropDb + levelDb)];
  return Math.max(...moved.map((other) => (here === null || other === null ? 0 : Math.abs(other - here))));
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
  const edgeCount = ['low', 'high'].filter((side) => edgeOf(candidate, side as BandEnd) !== null).length;
  return { levelDb, edgeLossDb, edgeCount, lossDbAt: (hz, side) => losses[side][nearestPoint(hz)] };
}

/**
 * Frequency at which a curve leaves a level for good towards one side: the outermost crossing, so that a dip inside the
 * band is not taken for its end. Null where it does not fall that far within the range.
 */
export function outermostCrossingHz(
  levelDb: Float64Array,
  { thresholdDb, side, rangeHz }: { thresholdDb: number; side: BandEnd; rangeHz: readonly [number, number] },
): number | null {
  const count = levelDb.length;
  const step = side === 'low' ? 1 : -1;
  for (let i = side === 'low' ? 0 : count - 1; i + step >= 0 && i + step < count; i += step) {
    const [outside, inside] = [levelDb[i], levelDb[i + step]];
    if (inside < thresholdDb) continue;
    if (outside >= thresholdDb) return null;
    const bend = secondDifference(levelDb, Math.min(i, i + step));
    let part = (thresholdDb - outside) / (inside - outside);
    for (let turn = 0; turn < BEND_TURNS; turn++) {
      part = (thresholdDb - outside + 0.5 * bend * part * (1 - part)) / (inside - outside);
    }
    const crossing = gridFrequencyHz[i] * (gridFrequencyHz[i + step] / gridFrequencyHz[i]) ** part;
    return crossing >= rangeHz[0] && crossing <= rangeHz[1] ? crossing : null;
  }
  return null;
}

/** Mean second difference at two neighbouring points, 0 at the ends: the bend of a steep filter at its corner counts. */
function secondDifference(values: Float64Array, i: number): number {
  if (i < 1 || i + 2 >= values.length) return 0;
  return 0.5 * (values[i - 1] - values[i] - values[i + 1] + values[i + 2]);
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
  { side, dropDb }: { side: BandEnd; dropDb: number },
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
  const raw = real.map((re, i) => DB_PER_NEPER * (Math.log(modulus(re, imag[i])) - model.lnMagnitude[i]));
  const [first, last] = fittedRangeHz(tap).map(nearestPoint);
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
