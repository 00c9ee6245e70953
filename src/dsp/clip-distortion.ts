import { decibels } from './decibels.ts';

/**
 * Harmonics of a unit sine cut off at plus and minus `ratio` (0 to 1; 1 leaves it whole), in closed form: with
 * t = asin(ratio), b1 = (2/pi) (t + r sqrt(1 - r^2)) and, for odd k, bk = (4/pi) (sin((k-1)t) / (2(k-1)) -
 * sin((k+1)t) / (2(k+1)) + r cos(kt) / k); even ones are zero.
 *
 * Source: the Fourier integrals of the clipped sine; `tests/dsp/clip-distortion.test.ts` holds them against ngspice.
 *
 * @returns amplitude of the harmonic, signed
 */
export function clippedSineHarmonic({ ratio, harmonic }: { ratio: number; harmonic: number }): number {
  if (ratio >= 1) return harmonic === 1 ? 1 : 0;
  const angle = Math.asin(ratio);
  if (harmonic === 1) return (2 / Math.PI) * (angle + ratio * Math.sqrt(1 - ratio * ratio));
  if (harmonic % 2 === 0) return 0;
  const below = harmonic - 1;
  const above = harmonic + 1;
  return (
    (4 / Math.PI) *
    (Math.sin(below * angle) / (2 * below) -
      Math.sin(above * angle) / (2 * above) +
      (ratio * Math.cos(harmonic * angle)) / harmonic)
  );
}

/** Distortion of the clipped sine, RMS of harmonics 2 to `highestHarmonic` over the fundamental, a ratio. */
export function clippedSineThd({
  ratio,
  highestHarmonic,
}: {
  ratio: number;
  highestHarmonic: number;
}): number {
  let squares = 0;
  for (let harmonic = 3; harmonic <= highestHarmonic; harmonic += 2) {
    squares += clippedSineHarmonic({ ratio, harmonic }) ** 2;
  }
  return Math.sqrt(squares) / clippedSineHarmonic({ ratio, harmonic: 1 });
}

/** Level of the clipped sine's fundamental against the unclipped sine's, dB, 0 or less. */
export function clippedSineLevelDb(ratio: number): number {
  return decibels(clippedSineHarmonic({ ratio, harmonic: 1 }));
}

/** The `ratio` at which the clipped sine has this distortion, by bisection; `thd` up to 0.4 (distortion rises all the way). */
export function clipRatioForThd({ thd, highestHarmonic }: { thd: number; highestHarmonic: number }): number {
  return hardestRatio((ratio) => clippedSineThd({ ratio, highestHarmonic }) > thd);
}

/** The `ratio` at which clipping takes this much off the fundamental, dB, 0 or more. */
export function clipRatioForLoss(lossDb: number): number {
  return hardestRatio((ratio) => -clippedSineLevelDb(ratio) > lossDb);
}

/** Down to the last bit of a double. */
const BISECTIONS = 52;
const HARDEST_RATIO = 0.01;

/** Lowest ratio that is not beyond the limit. */
function hardestRatio(isBeyond: (ratio: number) => boolean): number {
  let low = HARDEST_RATIO;
  let high = 1;
  for (let halving = 0; halving < BISECTIONS; halving++) {
    const middle = (low + high) / 2;
    if (isBeyond(middle)) low = middle;
    else high = middle;
  }
  return high;
}
