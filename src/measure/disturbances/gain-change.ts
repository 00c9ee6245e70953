import { DB_PER_NEPER } from '../../dsp/decibels.ts';
import { modulus } from '../../dsp/modulus.ts';
import { mean, median } from '../../dsp/statistics.ts';
import type { SweepResponse } from '../../dsp/sweep-response.ts';
import { gridFrequencyHz, MIDDLE_HZ } from '../../model/frequency-grid.ts';
import type { Measured } from '../../model/measured.ts';
import { isWithin } from '../../model/response.ts';

/** The noise of the comparison may be this much more in the middle than over all of the band. */
const MIDDLE_NOISE_DB = 0.1;
/** Points are chosen by the opening sweep alone, whose noise is half the closing one's: chosen by both, the louder closings would be. */
const LEAST_OPENING_SNR = 20;
const LEAST_CLOSING_SNR = 5;
const LEAST_POINTS = 8;
/** Neighbouring grid points share their noise: about this many make one independent value. */
const POINTS_PER_INDEPENDENT_VALUE = 5;
/** The closing sweep is four times as fast; a linear system reads the same within this (tests/measure/take-faults.test.ts). */
const SYSTEMATIC_DB = 0.02;

/**
 * By how much the gain changed between the opening and the closing sweep of one programme, decibels, positive where the
 * closing one is louder: a recorder's automatic gain, or a supply that sagged.
 *
 * @returns null where the channel carries too little of the programme
 */
export function gainChangeDb({
  opening,
  closing,
}: {
  opening: SweepResponse;
  closing: SweepResponse;
}): Measured | null {
  const clear = Array.from(gridFrequencyHz, (_, i) => i).filter((i) => snr(opening, i) > LEAST_OPENING_SNR);
  if (clear.length < LEAST_POINTS || median(clear.map((i) => snr(closing, i))) < LEAST_CLOSING_SNR)
    return null;
  // Limiters and mutes that work on bass alone are another matter.
  const middle = clear.filter((i) => isWithin(MIDDLE_HZ, gridFrequencyHz[i]));
  const noiseOf = (points: readonly number[]) => {
    const variance = mean(points.map((i) => snr(opening, i) ** -2 + snr(closing, i) ** -2));
    return DB_PER_NEPER * Math.sqrt(variance / Math.max(1, points.length / POINTS_PER_INDEPENDENT_VALUE));
  };
  const points =
    middle.length >= LEAST_POINTS && noiseOf(middle) < noiseOf(clear) + MIDDLE_NOISE_DB ? middle : clear;
  const changes = points.map((i) => DB_PER_NEPER * Math.log(size(closing, i) / size(opening, i)));
  return { value: median(changes), plusMinus: 2 * Math.hypot(noiseOf(points), SYSTEMATIC_DB) };
}

/** A change counts from 4.5 standard deviations on: two programmes of every take are looked at. */
const PROVEN = 4.5 / 2;

/**
 * A response whose gain was not steady: the sweep passed its frequencies at different gains, so that none compares with
 * another better than by half of the change.
 */
export function withUnsteadyGain(response: SweepResponse, change: Measured | null): SweepResponse {
  if (change === null || Math.abs(change.value) <= PROVEN * change.plusMinus) return response;
  const relative = Math.abs(change.value) / DB_PER_NEPER / 2;
  return {
    ...response,
    sigma: response.sigma.map((sigma, i) => Math.hypot(sigma, relative * size(response, i))),
  };
}

export function snr(response: SweepResponse, i: number): number {
  return size(response, i) / (response.sigma[i] + Number.MIN_VALUE);
}

export function size({ real, imag }: SweepResponse, i: number): number {
  return modulus(real[i], imag[i]);
}
