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
  const evenFactor = choleskyFactor(normalMatrix(of, 'even'), cosines.length)!;
  const oddFactor = choleskyFactor(normalMatrix(of, 'odd'), sines.length)!;
  const even = new Float64Array(cosines[0].length);
  const odd = new Float64Array(cosines[0].length);
  return {
    length,
    fit(samples, start) {
      const power = fold(samples, { start, length, even, odd });
      const evenSums = Float64Array.from(cosines, (wave) => dot(wave, even));
      const oddSums = Float64Array.from(sines, (wave) => dot(wave, odd));
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

/**
 * The later half of every wave, from the middle on: cosines of harmonics 0, 1, 2, ..., sines of 1, 2, ... Each comes from the
 * two below it: cos (k + 1) x = 2 cos x cos kx - cos (k - 1) x, and the same for sines.
 */
function harmonicWaves(of: { cyclesPerSample: number; length: number; highestHarmonic: number }): {
  cosines: Float64Array[];
  sines: Float64Array[];
} {
  const half = Math.ceil(of.length / 2);
  const middle = of.length % 2 === 1 ? 0 : 0.5;
  const step = 2 * Math.PI * of.cyclesPerSample;
  const first = Float64Array.from({ length: half }, (_, n) => Math.cos(step * (n + middle)));
  const cosines = [new Float64Array(half).fill(1), first];
  const sines = [new Float64Array(half), first.map((_, n) => Math.sin(step * (n + middle)))];
  for (const waves of [cosines, sines])
    for (let k = 2; k <= of.highestHarmonic; k++) {
      const [before, last] = waves.slice(-2);
      waves.push(first.map((cos, n) => 2 * cos * last[n] - before[n]));
    }
  return { cosines, sines: sines.slice(1) };
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

/** Sums and differences of the samples that lie alike around the stretch's middle; answers their power. */
function fold(
  samples: ArrayLike<number>,
  of: { start: number; length: number; even: Float64Array; odd: Float64Array },
): number {
  const { even, odd } = of;
  const isOdd = of.length % 2 === 1;
  const firstLater = of.start + Math.floor(of.length / 2);
  const lastEarlier = of.start + Math.ceil(of.length / 2) - 1;
  let power = 0;
  for (let n = 0; n < even.length; n++) {
    const later = samples[firstLater + n];
    const earlier = samples[lastEarlier - n];
    even[n] = later + earlier;
    odd[n] = later - earlier;
    power += later * later + earlier * earlier;
  }
  if (isOdd) {
    const middle = samples[firstLater];
    even[0] = middle;
    power -= middle * middle;
  }
  return power;
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
