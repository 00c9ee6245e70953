import { choleskyFactor, choleskyInverse, choleskySolve } from '../cholesky.ts';

/**
 * A nonlinear least-squares problem: residuals are (measured - model) / sigma, `columns[p]` the derivative of the model
 * over sigma by parameter p. `evaluate` fills both for the given parameters.
 */
export interface LeastSquaresProblem {
  readonly residualCount: number;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  readonly evaluate: (parameters: Float64Array, into: Evaluation) => void;
}

export interface Evaluation {
  readonly residuals: Float64Array;
  readonly columns: readonly Float64Array[];
}

export interface LeastSquaresFit {
  readonly parameters: Float64Array;
  readonly chiSquare: number;
  /** Inverse of J'J, row by row: the covariance where the sigmas are true. */
  readonly covariance: Float64Array;
}

const FIRST_DAMPING = 1e-3;
const LARGEST_DAMPING = 1e8;
/** Relative fall of chi-square in one step that still promises something. */
const FAST_FALL = 0.1;
/** A parameter that the data do not touch keeps a finite covariance: J'J gets this share of its diagonal on top. */
const RIDGE = 1e-10;

/**
 * Levenberg-Marquardt with Marquardt's scaling (J. SIAM 11(2), 1963) and steps cut at the bounds.
 *
 * The library looked at (ml-levenberg-marquardt 5.1) differentiates numerically, one scalar function value at a time; here one
 * evaluation gives 500 residuals with all their exact derivatives, and hundreds of fits have to run in a second.
 */
export function leastSquares(
  problem: LeastSquaresProblem,
  start: Float64Array,
  { iterations, tolerance, hopelessAbove }: { iterations: number; tolerance: number; hopelessAbove: number },
): LeastSquaresFit {
  const size = start.length;
  let here = evaluationOf(problem, size);
  let there = evaluationOf(problem, size);
  let parameters = clipped(start, problem);
  problem.evaluate(parameters, here);
  let chiSquare = sumOfSquares(here.residuals);
  let normal = normalMatrix(here.columns);
  let damping = FIRST_DAMPING;
  for (let i = 0; i < iterations && damping < LARGEST_DAMPING; i++) {
    const factor = choleskyFactor(damped(normal, size, damping), size);
    if (factor === null) {
      damping *= 10;
      continue;
    }
    const step = choleskySolve(factor, gradient(here));
    const tried = clipped(
      parameters.map((value, p) => value + step[p]),
      problem,
    );
    problem.evaluate(tried, there);
    const triedChiSquare = sumOfSquares(there.residuals);
    if (!(triedChiSquare < chiSquare)) {
      if (Math.abs(triedChiSquare - chiSquare) <= tolerance) break;
      damping *= 8;
      continue;
    }
    const gained = chiSquare - triedChiSquare;
    [here, there] = [there, here];
    parameters = tried;
    chiSquare = triedChiSquare;
    normal = normalMatrix(here.columns);
    damping = Math.max(1e-9, damping / 8);
    if (gained < tolerance || (chiSquare > hopelessAbove && gained < FAST_FALL * chiSquare)) break;
  }
  return { parameters, chiSquare, covariance: covarianceOf(normal, size) };
}

/** J'J, row by row. */
export function normalMatrix(columns: readonly Float64Array[]): Float64Array {
  const size = columns.length;
  const normal = new Float64Array(size * size);
  for (let a = 0; a < size; a++) {
    for (let b = 0; b <= a; b++) {
      normal[a * size + b] = normal[b * size + a] = dot(columns[a], columns[b]);
    }
  }
  return normal;
}

/** Four sums that do not wait for each other: one alone takes three times as long. */
export function dot(a: Float64Array, b: Float64Array): number {
  let [sum0, sum1, sum2, sum3] = [0, 0, 0, 0];
  let i = 0;
  for (; i + 4 <= a.length; i += 4) {
    sum0 += a[i] * b[i];
    sum1 += a[i + 1] * b[i + 1];
    sum2 += a[i + 2] * b[i + 2];
    sum3 += a[i + 3] * b[i + 3];
  }
  for (; i < a.length; i++) sum0 += a[i] * b[i];
  return sum0 + sum1 + (sum2 + sum3);
}

function evaluationOf({ residualCount }: LeastSquaresProblem, size: number): Evaluation {
  return {
    residuals: new Float64Array(residualCount),
    columns: Array.from({ length: size }, () => new Float64Array(residualCount)),
  };
}

function clipped(parameters: Float64Array, { lower, upper }: LeastSquaresProblem): Float64Array {
  return parameters.map((value, p) => Math.min(upper[p], Math.max(lower[p], value)));
}

function sumOfSquares(values: Float64Array): number {
  return dot(values, values);
}

function gradient({ residuals, columns }: Evaluation): Float64Array {
  return Float64Array.from(columns, (column) => dot(column, residuals));
}

function damped(normal: Float64Array, size: number, damping: number): Float64Array {
  const matrix = Float64Array.from(normal);
  for (let p = 0; p < size; p++) matrix[p * size + p] = normal[p * size + p] * (1 + damping) + 1e-30;
  return matrix;
}

function covarianceOf(normal: Float64Array, size: number): Float64Array {
  const factor = choleskyFactor(damped(normal, size, RIDGE), size);
  return factor === null
    ? new Float64Array(size * size).fill(Number.POSITIVE_INFINITY)
    : choleskyInverse(factor, size);
}
