import { DB_PER_NEPER, decibels, ratioOf } from '../../dsp/decibels.ts';
import { modulus } from '../../dsp/modulus.ts';
import { windowSigmaSeconds } from '../../dsp/smoothing-kernel.ts';
import { gridFrequencyHz, gridPoints, gridPosition, gridSpan } from '../../model/frequency-grid.ts';
import { type FrequencyResponse, isTrusted } from '../../model/response.ts';

/** Level of a response in decibels at each grid frequency, with the standard deviation of its error, also in decibels. */
export interface LevelProfile {
  readonly levelDb: Float64Array;
  readonly sigmaDb: Float64Array;
  /** Where the level can be used; null where nowhere. */
  readonly trustedHz: readonly [number, number] | null;
}

/** A value with its standard deviation, in the unit of its name. */
export interface Estimate {
  readonly value: number;
  readonly sigma: number;
}

/** Levels are averaged over a sixth of an octave: less noise, and bends of an order-4 filter stay within 0.01 dB. */
const AVERAGED_OCTAVES = 1 / 6;
/** Neighbouring grid points of a swept response share their noise: about this many count as one (integral of `noiseCorrelation`). */
const POINTS_PER_INDEPENDENT_VALUE = 4.7;

export function levelProfile(response: FrequencyResponse): LevelProfile {
  const magnitude = response.real.map((real, i) => modulus(real, response.imag[i]));
  return {
    levelDb: magnitude.map((value) => decibels(value + 1e-15)),
    sigmaDb: magnitude.map((value, i) => (DB_PER_NEPER * response.sigma[i]) / (value + 1e-15)),
    trustedHz: response.trustedHz,
  };
}

/** Level around a frequency, averaged over a sixth of an octave in which it may slope; null outside the trusted band. */
export function levelAround(profile: LevelProfile, frequencyHz: number): Estimate | null {
  if (!isTrusted(profile, frequencyHz)) return null;
  const { first, last } = gridSpan([
    frequencyHz * 2 ** (-AVERAGED_OCTAVES / 2),
    frequencyHz * 2 ** (AVERAGED_OCTAVES / 2),
  ]);
  const weights = slopedMeanWeights({ first, last, at: gridPosition(frequencyHz) });
  const value = weights.reduce((sum, weight, j) => sum + weight * profile.levelDb[first + j], 0);
  let variance = 0;
  weights.forEach((weight, j) => {
    weights.forEach((other, k) => {
      variance +=
        weight *
        other *
        profile.sigmaDb[first + j] *
        profile.sigmaDb[first + k] *
        noiseCorrelation(first + j, first + k);
    });
  });
  return { value, sigma: Math.sqrt(Math.max(0, variance)) };
}

/** What the level around a frequency stays below, whether it is trusted or not: its magnitude with so many standard deviations of noise added. */
export function highestLevelDb(
  { levelDb, sigmaDb }: LevelProfile,
  { frequencyHz, sigmas }: { frequencyHz: number; sigmas: number },
): number {
  const { first, last } = gridSpan([
    frequencyHz * 2 ** (-AVERAGED_OCTAVES / 2),
    frequencyHz * 2 ** (AVERAGED_OCTAVES / 2),
  ]);
  let highest = 0;
  for (let i = first; i <= last; i++) {
    const magnitude = ratioOf(levelDb[i]);
    highest = Math.max(highest, magnitude * (1 + (sigmas * sigmaDb[i]) / DB_PER_NEPER));
  }
  return decibels(highest + 1e-15);
}

/** Plain mean over grid points, every one alike, so that a fixed shape cancels between settings. */
export function meanLevel({ levelDb, sigmaDb }: LevelProfile, points: readonly number[]): Estimate {
  const count = points.length;
  const sum = points.reduce((total, i) => total + levelDb[i], 0);
  const variance = points.reduce((total, i) => total + sigmaDb[i] ** 2, 0);
  return {
    value: sum / count,
    sigma: Math.sqrt(variance * Math.min(count, POINTS_PER_INDEPENDENT_VALUE)) / count,
  };
}

/** Highest level within the trusted band; minus infinity where nothing is trusted. */
export function strongestLevelDb(profile: LevelProfile): number {
  return trustedPoints(profile).reduce(
    (highest, i) => Math.max(highest, profile.levelDb[i]),
    Number.NEGATIVE_INFINITY,
  );
}

/** Grid points within the trusted band and, where given, within another band. */
export function trustedPoints({ trustedHz }: LevelProfile, withinHz?: readonly [number, number]): number[] {
  const band = commonBand(trustedHz, withinHz ?? trustedHz);
  if (band === null) return [];
  return gridPoints(band);
}

/** A change of bass counts from so many standard deviations on: one of 150 000 comparisons passes by chance (normal distribution). */
export const SIGNIFICANT = 4.5;
/** So much of it must be there to be one: a third of an octave. */
export const FEWEST_MIDDLE_POINTS = 16;

/** Trusted points of a band that lie no further below the strongest of all. */
export function strongPoints(
  profile: LevelProfile,
  { withinHz, withinDb }: { withinHz: readonly [number, number]; withinDb: number },
): number[] {
  const floorDb = strongestLevelDb(profile) - withinDb;
  return trustedPoints(profile, withinHz).filter((i) => profile.levelDb[i] >= floorDb);
}

/** The band that both contain; null where they do not meet. */
export function commonBand(
  one: readonly [number, number] | null,
  other: readonly [number, number] | null,
): readonly [number, number] | null {
  if (one === null || other === null) return null;
  const low = Math.max(one[0], other[0]);
  const high = Math.min(one[1], other[1]);
  return low < high ? [low, high] : null;
}

/**
 * Correlation of the noise at two grid points of a swept response: the autocorrelation of the smoothing kernel
 * (3/2 - u^2/2) exp(-u^2/2) of `dsp/smoothing-kernel.ts`, which is the transform of its squared window
 * (1 + v^2/2)^2 exp(-v^2).
 */
export function noiseCorrelation(one: number, other: number): number {
  const [low, high] = [gridFrequencyHz[one], gridFrequencyHz[other]];
  const kernelSigmaHz = 1 / (2 * Math.PI * windowSigmaSeconds(Math.sqrt(low * high)));
  const square = ((high - low) / kernelSigmaHz) ** 2;
  return ((27 - 7 * square + (square * square) / 4) / 27) * Math.exp(-square / 4);
}

/** Weights of a straight line's least-squares fit, evaluated at a place between the points. */
function slopedMeanWeights({ first, last, at }: { first: number; last: number; at: number }): number[] {
  const count = last - first + 1;
  const centre = (first + last) / 2;
  const spread = (count * (count * count - 1)) / 12;
  return Array.from({ length: count }, (_, j) =>
    count === 1 ? 1 : 1 / count + ((first + j - centre) * (at - centre)) / spread,
  );
}
