import { choleskyFactor, choleskyInverse, choleskySolve } from '../cholesky.ts';
import { doubles, reused } from '../kernels/kernel-arrays.ts';
import { kernels } from '../kernels/kernels.ts';

/**
 * A nonlinear least-squares problem: residuals are (measured - model) / sigma, `columns[p]` the derivative of the model
 * over sigma by parameter p. `evaluate` fills both for the given parameters.
 */
interface LeastSquaresProblem {
  readonly residualCount: number;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  readonly evaluate: (parameters: Float64Array, into: Evaluation) => void;
}

interface Evaluation {
  readonly residuals: Float64Array;
  readonly columns: readonly Float64Array[];
}

/** The columns, then the residuals, one behind the other in one array: so a kernel takes their products. */
export interface EvaluationRows extends Evaluation {
  readonly rows: Float64Array;
}

export interface LeastSquaresFit {
  readonly parameters: Float64Array;
  readonly chiSquare: number;
  /** Inverse of J'J, row by row: the covariance where the sigmas are true. */
  readonly covariance: Float64Array;
}

/** Usual in Levenberg-Marquardt (from memory): nearly Gauss-Newton at first, given up where no step helps. */
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
  { iterations, tolerance, giveUpAbove }: { iterations: number; tolerance: number; giveUpAbove: number },
): LeastSquaresFit {
  const size = start.length;
  let here = evaluationRows(memoryHere, problem.residualCount, size);
  let there = evaluationRows(memoryThere, problem.residualCount, size);
  let parameters = clipped(start, problem);
  problem.evaluate(parameters, here);
  let chiSquare = sumOfSquares(here.residuals);
  let { normal, gradient } = productsOf(here);
  let damping = FIRST_DAMPING;
  for (let i = 0; i < iterations && damping < LARGEST_DAMPING; i++) {
    const factor = choleskyFactor(damped(normal, size, damping), size);
    if (factor === null) {
      damping *= 10;
      continue;
    }
    const step = choleskySolve(factor, gradient);
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
    ({ normal, gradient } = productsOf(here));
    damping = Math.max(1e-9, damping / 8);
    if (gained < tolerance || (chiSquare > giveUpAbove && gained < FAST_FALL * chiSquare)) break;
  }
  return { parameters, chiSquare, covariance: covarianceOf(normal, size) };
}

/** Filled by each fit anew. */
const memoryHere = reused(doubles);
const memoryThere = reused(doubles);
const memorySums = reused(doubles);

/** @param memory of kernels: what it gave before is overwritten */
export function evaluationRows(
  memory: (count: number) => Float64Array,
  length: number,
  size: number,
): EvaluationRows {
  const rows = memory((size + 1) * length).fill(0);
  const row = (r: number) => rows.subarray(r * length, (r + 1) * length);
  return { rows, columns: Array.from({ length: size }, (_, p) => row(p)), residuals: row(size) };
}

/** J'J, row by row, and J'r. */
export function productsOf({ rows, columns, residuals }: EvaluationRows): {
  normal: Float64Array;
  gradient: Float64Array;
} {
  const size = columns.length;
  const normal = new Float64Array(size * size);
  const sums = memorySums(size);
  columns.forEach((column, a) => {
    kernels.products(rows, column, sums, column.length, a + 1);
    for (let b = 0; b <= a; b++) normal[a * size + b] = normal[b * size + a] = sums[b];
  });
  kernels.products(rows, residuals, sums, residuals.length, size);
  return { normal, gradient: Float64Array.from(sums) };
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

function clipped(parameters: Float64Array, { lower, upper }: LeastSquaresProblem): Float64Array {
  return parameters.map((value, p) => Math.min(upper[p], Math.max(lower[p], value)));
}

function sumOfSquares(values: Float64Array): number {
  return dot(values, values);
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
