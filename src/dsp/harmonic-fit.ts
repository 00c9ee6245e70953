import { choleskyFactor, choleskySolve } from './cholesky.ts';
import { doubles, reused } from './kernels/kernel-arrays.ts';
import { kernels } from './kernels/kernels.ts';
import { fold } from './kernels/plain/tones.ts';

/**
 * Least-squares fit of a constant, a tone and its harmonics to a short stretch of samples: exact for any number of
 * samples, where a plain Fourier sum leaks unless whole cycles are whole samples.
 */
interface HarmonicFit {
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

/**
 * Prepares fits over stretches of `length` samples; the normal equations are factored once. Time counts from the stretch's
 * middle, where cosines are even and sines are odd: samples are folded there, which halves the sums, and neither kind of
 * wave has anything to do with the other.
 */
export function harmonicFitter(of: {
  cyclesPerSample: number;
  length: number;
  highestHarmonic: number;
}): HarmonicFitter {
  const { length, highestHarmonic } = of;
  const { cosines, sines } = harmonicWaves(of);
  // Waves of different harmonics over several cycles are as good as independent.
  const evenFactor = choleskyFactor(normalMatrix(of, 'even'), highestHarmonic + 1)!;
  const oddFactor = choleskyFactor(normalMatrix(of, 'odd'), highestHarmonic)!;
  const half = Math.ceil(length / 2);
  return {
    length,
    fit(samples, start) {
      const [even, odd] = [evenWork(half), oddWork(half)];
      const power =
        samples instanceof Float32Array && start >= 0 && start + length <= samples.length
          ? kernels.fold(samples, even, odd, start, length)
          : fold(samples, even, odd, start, length);
      const evenSums = productsWith(cosines, even, highestHarmonic + 1);
      const oddSums = productsWith(sines, odd, highestHarmonic);
      const inPhase = choleskySolve(evenFactor, evenSums);
      const acrossPhase = choleskySolve(oddFactor, oddSums);
      const explained = dot(inPhase, evenSums) + dot(acrossPhase, oddSums);
      const residualVariance = Math.max(0, power - explained) / (length - 2 * highestHarmonic - 1);
      return {
        amplitude: Float64Array.from({ length: highestHarmonic }, (_, k) =>
          Math.hypot(inPhase[k + 1], acrossPhase[k]),
        ),
        constant: inPhase[0],
        residualVariance,
        amplitudeNoisePower: (4 * residualVariance) / length,
      };
    },
  };
}

const evenWork = reused(doubles);
const oddWork = reused(doubles);
const productsWork = reused(doubles);

function productsWith(waves: Float64Array, values: Float64Array, count: number): Float64Array {
  const sums = productsWork(count);
  kernels.products(waves, values, sums, values.length, count);
  return sums.slice();
}

function dot(a: Float64Array, b: Float64Array): number {
  return a.reduce((sum, value, k) => sum + value * b[k], 0);
}

/**
 * The later half of every wave, from the middle on, one wave behind the other: cosines of harmonics 0, 1, 2, ..., sines of
 * 1, 2, ... Each comes from the two below it: cos (k + 1) x = 2 cos x cos kx - cos (k - 1) x, and the same for sines.
 */
function harmonicWaves(of: { cyclesPerSample: number; length: number; highestHarmonic: number }): {
  cosines: Float64Array;
  sines: Float64Array;
} {
  const half = Math.ceil(of.length / 2);
  const middle = of.length % 2 === 1 ? 0 : 0.5;
  const step = 2 * Math.PI * of.cyclesPerSample;
  const cosines = doubles(half * (of.highestHarmonic + 1));
  const sines = doubles(half * of.highestHarmonic);
  for (let n = 0; n < half; n++) {
    const cos = Math.cos(step * (n + middle));
    cosines[n] = 1;
    cosines[half + n] = cos;
    sines[n] = Math.sin(step * (n + middle));
    for (let k = 2; k <= of.highestHarmonic; k++) {
      const [cosineAt, sineAt] = [k * half + n, (k - 1) * half + n];
      cosines[cosineAt] = 2 * cos * cosines[cosineAt - half] - cosines[cosineAt - 2 * half];
      sines[sineAt] = 2 * cos * sines[sineAt - half] - (k === 2 ? 0 : sines[sineAt - 2 * half]);
    }
  }
  return { cosines, sines };
}

/** Products of the waves summed over the whole stretch, in closed form (Dirichlet's kernel). */
function normalMatrix(
  of: { cyclesPerSample: number; length: number; highestHarmonic: number },
  kind: 'even' | 'odd',
): Float64Array {
  const sumOfCosines = (harmonic: number) => {
    const halfTurn = Math.PI * of.cyclesPerSample * harmonic;
    return harmonic === 0 ? of.length : Math.sin(of.length * halfTurn) / Math.sin(halfTurn);
  };
  const [lowest, sign] = kind === 'even' ? [0, 1] : [1, -1];
  const size = of.highestHarmonic + 1 - lowest;
  return Float64Array.from({ length: size * size }, (_, at) => {
    const [j, k] = [lowest + Math.floor(at / size), lowest + (at % size)];
    return (sumOfCosines(j - k) + sign * sumOfCosines(j + k)) / 2;
  });
}
