/**
 * Least-squares fit of a constant, a tone and its harmonics to a short stretch of samples: exact for any number of
 * samples, where a plain Fourier sum leaks unless whole cycles are whole samples.
 */
export interface HarmonicFit {
  /** Amplitudes (peak) of harmonic 1, 2, ... */
  readonly amplitude: Float64Array;
  readonly constant: number;
  /** Variance of what is left, per sample. */
  readonly residualVariance: number;
  /** Variance of each amplitude's two parts together that this residual would leave on average: E |error|^2. */
  readonly amplitudeNoisePower: number;
}

export interface HarmonicFitter {
  readonly length: number;
  fit(samples: ArrayLike<number>, start: number): HarmonicFit;
}

/** Prepares fits over stretches of `length` samples; the normal equations are factored once. */
export function harmonicFitter(of: {
  cyclesPerSample: number;
  length: number;
  highestHarmonic: number;
}): HarmonicFitter {
  const { length, highestHarmonic } = of;
  const size = 2 * highestHarmonic + 1;
  const basis = Array.from({ length: size }, (_, row) => basisRow(row, of.cyclesPerSample, length));
  const factor = choleskyFactor(basis.map((a) => Float64Array.from(basis, (b) => dot(a, b, 0))));
  return {
    length,
    fit(samples, start) {
      const projections = Float64Array.from(basis, (row) => dot(row, samples, start));
      const solution = solveFactored(factor, projections);
      let power = 0;
      for (let n = 0; n < length; n++) power += samples[start + n] ** 2;
      const residualVariance = Math.max(0, power - dot(solution, projections, 0)) / (length - size);
      return {
        amplitude: Float64Array.from({ length: highestHarmonic }, (_, k) =>
          Math.hypot(solution[2 * k + 1], solution[2 * k + 2]),
        ),
        constant: solution[0],
        residualVariance,
        amplitudeNoisePower: (4 * residualVariance) / length,
      };
    },
  };
}

function basisRow(row: number, cyclesPerSample: number, length: number): Float64Array {
  if (row === 0) return new Float64Array(length).fill(1);
  const step = 2 * Math.PI * cyclesPerSample * Math.ceil(row / 2);
  const wave = row % 2 === 1 ? Math.cos : Math.sin;
  return Float64Array.from({ length }, (_, n) => wave(step * n));
}

function dot(a: Float64Array, b: ArrayLike<number>, bStart: number): number {
  let sum = 0;
  for (let n = 0; n < a.length; n++) sum += a[n] * b[bStart + n];
  return sum;
}

/** Lower triangle L with L L' = matrix (positive definite). */
function choleskyFactor(matrix: readonly Float64Array[]): Float64Array[] {
  const lower = matrix.map((row) => new Float64Array(row.length));
  for (let i = 0; i < lower.length; i++)
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i][j];
      for (let k = 0; k < j; k++) sum -= lower[i][k] * lower[j][k];
      lower[i][j] = i === j ? Math.sqrt(sum) : sum / lower[j][j];
    }
  return lower;
}

function solveFactored(lower: readonly Float64Array[], right: Float64Array): Float64Array {
  const x = Float64Array.from(right);
  for (let i = 0; i < x.length; i++) {
    for (let k = 0; k < i; k++) x[i] -= lower[i][k] * x[k];
    x[i] /= lower[i][i];
  }
  for (let i = x.length - 1; i >= 0; i--) {
    for (let k = i + 1; k < x.length; k++) x[i] -= lower[k][i] * x[k];
    x[i] /= lower[i][i];
  }
  return x;
}
