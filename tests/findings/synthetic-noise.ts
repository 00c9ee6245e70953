import { windowSigmaSeconds } from '../../src/dsp/smoothing-kernel.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';

/** Uniform 0 to 1 (mulberry32, public domain). */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

export function gaussian(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** Unit noise with the correlation of neighbouring grid points that the smoothing kernel leaves. */
export function correlatedNoise(random: () => number): Float64Array {
  const white = new Float64Array(gridFrequencyHz.length + SMOOTHING.length - 1);
  for (let k = 0; k < white.length; k++) white[k] = gaussian(random);
  const noise = new Float64Array(gridFrequencyHz.length);
  for (let i = 0; i < noise.length; i++) {
    let sum = 0;
    for (let j = 0; j < SMOOTHING.length; j++) sum += SMOOTHING[j] * white[i + j];
    noise[i] = sum;
  }
  return noise;
}

/** What the smoothing kernel (3/2 - u^2/2) exp(-u^2/2) makes of neighbouring grid points, for unit variance. */
const SMOOTHING = smoothingWeights();

function smoothingWeights(): Float64Array {
  const pointsPerSigma = (0.0318 / Math.LN10) * 160;
  const kernel = Float64Array.from({ length: 31 }, (_, j) => {
    const u = (j - 15) / pointsPerSigma;
    return (1.5 - 0.5 * u * u) * Math.exp(-0.5 * u * u);
  });
  const norm = Math.hypot(...kernel);
  return kernel.map((weight) => weight / norm);
}

/**
 * Error of each part of a response swept at 0 dBFS in noise of 0 dBFS: the sweep's energy around f, drive^2 L / 4f a hertz
 * (Novak 2015: |X| = sqrt(L/f)/2), against the noise density, over the kernel's width.
 */
export const UNIT_SWEEP_SIGMA = gridFrequencyHz.map((hz) => {
  const rateSeconds = 6 / Math.log(2000);
  const signalPerHz = rateSeconds / (4 * hz);
  const noisePerHz = 0.5 / 24_000 / 2;
  const effectiveHz = 1.1 / windowSigmaSeconds(hz) / 2;
  // Noise energy in a hertz grows with the window's length; the quotient averages `effectiveHz` of it.
  return Math.sqrt(
    (noisePerHz * windowSigmaSeconds(hz) * 1.5) / signalPerHz / (effectiveHz * windowSigmaSeconds(hz)) / 2,
  );
});
