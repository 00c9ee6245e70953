import { expect, test } from 'vitest';
import { choleskyFactor, choleskyInverse, choleskySolve } from '../../../src/dsp/cholesky.ts';
import { leastSquares } from '../../../src/dsp/fit/least-squares.ts';

// NIST Statistical Reference Datasets, nonlinear regression, Misra1a (from memory): y = b1 (1 - exp(-b2 x)),
// certified b1 = 238.94212918, b2 = 5.5015643181e-4, their standard deviations 2.7070075241 and 7.2668688436e-6.
const Y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78];
const X = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0];

test('a nonlinear fit reaches the certified values and standard deviations of NIST Misra1a from the far start', () => {
  const fit = leastSquares(
    {
      residualCount: X.length,
      lower: Float64Array.of(0, 0),
      upper: Float64Array.of(1e4, 1),
      evaluate: ([b1, b2], { residuals, columns }) =>
        X.forEach((x, i) => {
          const rest = Math.exp(-b2 * x);
          residuals[i] = Y[i] - b1 * (1 - rest);
          columns[0][i] = 1 - rest;
          columns[1][i] = b1 * x * rest;
        }),
    },
    Float64Array.of(500, 1e-4),
    { iterations: 100, tolerance: 1e-14, giveUpAbove: Number.POSITIVE_INFINITY },
  );
  const variance = fit.chiSquare / (X.length - 2);
  expect(fit.parameters[0] / 238.94212918).toBeCloseTo(1, 7);
  expect(fit.parameters[1] / 5.5015643181e-4).toBeCloseTo(1, 7);
  expect(Math.sqrt(variance * fit.covariance[0]) / 2.7070075241).toBeCloseTo(1, 5);
  expect(Math.sqrt(variance * fit.covariance[3]) / 7.2668688436e-6).toBeCloseTo(1, 5);
});

test('a bound holds a parameter that would run past it', () => {
  const fit = leastSquares(
    {
      residualCount: 1,
      lower: Float64Array.of(-1),
      upper: Float64Array.of(1),
      evaluate: ([a], { residuals, columns }) => {
        residuals[0] = 5 - a;
        columns[0][0] = 1;
      },
    },
    Float64Array.of(0),
    { iterations: 20, tolerance: 1e-9, giveUpAbove: Number.POSITIVE_INFINITY },
  );
  expect(fit.parameters[0]).toBe(1);
});

test('the Cholesky factor solves and inverts, and refuses what is not positive definite', () => {
  // [[4, 2], [2, 3]]: inverse [[3, -2], [-2, 4]] / 8, by hand.
  const factor = choleskyFactor(Float64Array.of(4, 2, 2, 3), 2)!;
  expect(Array.from(choleskySolve(factor, [8, 4]))).toEqual([expect.closeTo(2, 12), expect.closeTo(0, 12)]);
  expect(Array.from(choleskyInverse(factor, 2))).toEqual(
    [3 / 8, -2 / 8, -2 / 8, 4 / 8].map((v) => expect.closeTo(v, 12)),
  );
  expect(choleskyFactor(Float64Array.of(1, 2, 2, 1), 2)).toBeNull();
});
