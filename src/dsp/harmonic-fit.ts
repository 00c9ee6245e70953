import { choleskyFactor, choleskySolve } from './cholesky.ts';

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
  const normal = Float64Array.from(basis.flatMap((a) => basis.map((b) => dot(a, b))));
  // Waves of different harmonics over several cycles are as good as independent.
  const factor = choleskyFactor(normal, size)!;
  const stretch = new Float64Array(length);
  return {
    length,
    fit(samples, start) {
      for (let n = 0; n < length; n++) stretch[n] = samples[start + n];
      const projections = Float64Array.from(basis, (row) => dot(row, stretch));
      const solution = choleskySolve(factor, projections);
      const power = dot(stretch, stretch);
      const residualVariance = Math.max(0, power - dot(solution, projections)) / (length - size);
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

/** Four sums at a time, because each addition would wait for the one before. */
function dot(a: Float64Array, b: Float64Array): number {
  let [sum0, sum1, sum2, sum3] = [0, 0, 0, 0];
  const whole = a.length - (a.length % 4);
  for (let n = 0; n < whole; n += 4) {
    sum0 += a[n] * b[n];
    sum1 += a[n + 1] * b[n + 1];
    sum2 += a[n + 2] * b[n + 2];
    sum3 += a[n + 3] * b[n + 3];
  }
  for (let n = whole; n < a.length; n++) sum0 += a[n] * b[n];
  return sum0 + sum1 + (sum2 + sum3);
}
