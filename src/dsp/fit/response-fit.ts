import { doubles, reused } from '../kernels/kernel-arrays.ts';
import { addTerm, type LogSums, parameterCount, type TermShape } from './filter-terms.ts';
import { type FrequencyAxis, frequencyAxis } from './frequency-axis.ts';
import { type EvaluationRows, evaluationRows, type LeastSquaresFit, leastSquares } from './least-squares.ts';
import type { LogResponse } from './log-response.ts';

/** A gain, a delay, a polarity and a cascade of filters, analogue (rate null) or bilinear at a sample rate. */
interface ModelShape {
  readonly sampleRateHz: number | null;
  readonly terms: readonly TermShape[];
}

export interface ResponseFit extends LeastSquaresFit {
  readonly shape: ModelShape;
  /** Half turns of constant phase: odd is inverted. */
  readonly halfTurns: number;
}

/** Parameters of a fit in order: ln gain, delay in milliseconds beyond the coarse one, then those of each term. */
const GAIN_PARAMETER = 0;
export const DELAY_PARAMETER = 1;
export const FIRST_TERM_PARAMETER = 2;
export const SECONDS_PER_DELAY_UNIT = 1e-3;
const RADIANS_PER_HZ = 2 * Math.PI * SECONDS_PER_DELAY_UNIT;

/** Bounds of the terms: what a radio's EQ does (common practice), wide enough never to press a real one. */
const LOWEST_LN_HZ = Math.log(8);
const HIGHEST_LN_HZ = Math.log(20_000);
const LARGEST_GAIN_DB = 24;
const PEAK_Q = [0.25, 10] as const;
const SHELF_Q = [0.35, 1.5] as const;
/** A first-order high-pass below 14 Hz is the recorder's or radio's coupling; it may lie far below the band. */
const LOWEST_EDGE_LN_HZ = Math.log(0.3);
const HIGHEST_EDGE_LN_HZ = Math.log(40_000);

/** Steps of a fit at most, and the fall of chi-square that ends it sooner (chosen here). */
const MAX_ITERATIONS = 25;
const TOLERANCE = 1e-2;

interface FitOptions {
  /** Parameters of the terms to start from. */
  readonly termParameters: Float64Array;
  /** Fixes the constant phase; by default it is what fits the start best. */
  readonly halfTurns?: number;
  readonly tolerance?: number;
  /** Chi-square above which a fit that no longer falls fast is given up. */
  readonly giveUpAbove?: number;
}

/** Fits a model to a response, magnitude and phase together, each point weighted by its noise. */
export function fitResponse(data: LogResponse, shape: ModelShape, options: FitOptions): ResponseFit {
  const fixed = options.halfTurns;
  const first = fitWithHalfTurns(
    data,
    shape,
    options,
    fixed ?? startOf(data, shape, options.termParameters).halfTurns,
  );
  if (fixed !== undefined) return first;
  const halfTurns = startOf(data, shape, first.parameters.subarray(FIRST_TERM_PARAMETER)).halfTurns;
  if (halfTurns === first.halfTurns) return first;
  const second = fitWithHalfTurns(
    data,
    shape,
    { ...options, termParameters: first.parameters.slice(FIRST_TERM_PARAMETER) },
    halfTurns,
  );
  return second.chiSquare < first.chiSquare ? second : first;
}

/** ln magnitude and phase (without coarse delay) of a fit at the data's frequencies. */
export function modelOf(
  { shape, parameters, halfTurns }: Pick<ResponseFit, 'shape' | 'parameters' | 'halfTurns'>,
  frequencyHz: Float64Array,
): LogSums {
  const sums = emptySums(frequencyHz.length);
  addTerms(shape, parameters, frequencyAxis(frequencyHz, shape.sampleRateHz), sums, null);
  for (let i = 0; i < frequencyHz.length; i++) {
    sums.lnMagnitude[i] += parameters[GAIN_PARAMETER];
    sums.phase[i] += Math.PI * halfTurns - RADIANS_PER_HZ * frequencyHz[i] * parameters[DELAY_PARAMETER];
  }
  return sums;
}

/** Weighted residuals of a fit with the weighted derivatives of its model, magnitudes first, then phases; until the next call. */
export function linearised(
  data: LogResponse,
  fit: Pick<ResponseFit, 'shape' | 'parameters' | 'halfTurns'>,
): EvaluationRows {
  const into = evaluationRows(memoryOfLinearised, 2 * data.frequencyHz.length, fit.parameters.length);
  evaluator(data, fit.shape, fit.halfTurns)(fit.parameters, into);
  return into;
}

const memoryOfLinearised = reused(doubles);

function fitWithHalfTurns(
  data: LogResponse,
  shape: ModelShape,
  options: FitOptions,
  halfTurns: number,
): ResponseFit {
  const { gain, delay } = startOf(data, shape, options.termParameters, halfTurns);
  const start = Float64Array.of(gain, delay, ...options.termParameters);
  const [lower, upper] = boundsOf(shape);
  const fit = leastSquares(
    { residualCount: 2 * data.frequencyHz.length, lower, upper, evaluate: evaluator(data, shape, halfTurns) },
    start,
    {
      iterations: MAX_ITERATIONS,
      tolerance: options.tolerance ?? TOLERANCE,
      giveUpAbove: options.giveUpAbove ?? Number.POSITIVE_INFINITY,
    },
  );
  return { ...fit, shape, halfTurns };
}

function evaluator(data: LogResponse, shape: ModelShape, halfTurns: number) {
  const count = data.frequencyHz.length;
  const axis = axisOf(data, shape.sampleRateHz);
  const sums = sharedSums(count);
  const { weight, frequencyHz } = data;
  return (parameters: Float64Array, into: { residuals: Float64Array; columns: readonly Float64Array[] }) => {
    sums.lnMagnitude.fill(parameters[GAIN_PARAMETER]);
    sums.phase.fill(Math.PI * halfTurns);
    addTerms(shape, parameters, axis, sums, into.columns);
    const [byGain, byDelay] = into.columns;
    const delay = RADIANS_PER_HZ * parameters[DELAY_PARAMETER];
    for (let i = 0; i < count; i++) {
      into.residuals[i] = weight[i] * (data.lnMagnitude[i] - sums.lnMagnitude[i]);
      into.residuals[count + i] = weight[i] * (data.phase[i] - sums.phase[i] + delay * frequencyHz[i]);
      byGain[i] = weight[i];
      byDelay[count + i] = -weight[i] * RADIANS_PER_HZ * frequencyHz[i];
    }
    for (let p = FIRST_TERM_PARAMETER; p < into.columns.length; p++) {
      const column = into.columns[p];
      for (let i = 0; i < count; i++) {
        column[i] *= weight[i];
        column[count + i] *= weight[i];
      }
    }
  };
}

function addTerms(
  shape: ModelShape,
  parameters: Float64Array,
  axis: FrequencyAxis,
  sums: LogSums,
  columns: readonly Float64Array[] | null,
): void {
  let at = FIRST_TERM_PARAMETER;
  for (const term of shape.terms) {
    const size = parameterCount(term);
    const own = columns?.slice(at, at + size) ?? null;
    addTerm(term, parameters.subarray(at, at + size), axis, sums, own);
    at += size;
  }
}

/** Gain, delay and half turns that suit the given terms best. */
function startOf(data: LogResponse, shape: ModelShape, termParameters: Float64Array, halfTurns?: number) {
  const sums = sharedSums(data.frequencyHz.length);
  sums.lnMagnitude.fill(0);
  sums.phase.fill(0);
  const parameters = Float64Array.of(0, 0, ...termParameters);
  addTerms(shape, parameters, axisOf(data, shape.sampleRateHz), sums, null);
  let [w, wf, wff, wp, wfp, wm] = [0, 0, 0, 0, 0, 0];
  data.frequencyHz.forEach((hz, i) => {
    const weight = data.weight[i] ** 2;
    const turn = data.phase[i] - sums.phase[i];
    w += weight;
    wf += weight * hz;
    wff += weight * hz * hz;
    wp += weight * turn;
    wfp += weight * hz * turn;
    wm += weight * (data.lnMagnitude[i] - sums.lnMagnitude[i]);
  });
  const constant = (wff * wp - wf * wfp) / (w * wff - wf * wf);
  const turns = halfTurns ?? Math.round(constant / Math.PI);
  const delay = (turns * Math.PI * wf - wfp) / wff / RADIANS_PER_HZ;
  return { halfTurns: turns, gain: wm / w, delay };
}

function boundsOf({ terms }: ModelShape): [Float64Array, Float64Array] {
  const lower = [-30, -1000];
  const upper = [30, 1000];
  for (const term of terms) {
    if (term.kind === 'edge') {
      lower.push(LOWEST_EDGE_LN_HZ);
      upper.push(HIGHEST_EDGE_LN_HZ);
    } else {
      const [leastQ, mostQ] = term.kind === 'peak' ? PEAK_Q : SHELF_Q;
      lower.push(LOWEST_LN_HZ, -LARGEST_GAIN_DB, Math.log(leastQ));
      upper.push(HIGHEST_LN_HZ, LARGEST_GAIN_DB, Math.log(mostQ));
    }
  }
  return [Float64Array.from(lower), Float64Array.from(upper)];
}

const axes = new WeakMap<LogResponse, Map<number | null, FrequencyAxis>>();

function axisOf(data: LogResponse, sampleRateHz: number | null): FrequencyAxis {
  const ofData = axes.get(data) ?? new Map<number | null, FrequencyAxis>();
  axes.set(data, ofData);
  const axis = ofData.get(sampleRateHz) ?? frequencyAxis(data.frequencyHz, sampleRateHz);
  ofData.set(sampleRateHz, axis);
  return axis;
}

const memoryOfMagnitudes = reused(doubles);
const memoryOfPhases = reused(doubles);

/** For the work of one fit at a time: fresh memory costs more than the sums in it. */
function sharedSums(length: number): LogSums {
  return { lnMagnitude: memoryOfMagnitudes(length), phase: memoryOfPhases(length) };
}

function emptySums(length: number): LogSums {
  return { lnMagnitude: new Float64Array(length), phase: new Float64Array(length) };
}
