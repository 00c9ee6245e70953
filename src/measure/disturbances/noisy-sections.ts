import { DB_PER_NEPER } from '../../dsp/decibels.ts';
import { median } from '../../dsp/statistics.ts';
import type { SweepResponse } from '../../dsp/sweep-response.ts';
import { gridSpan, MIDDLE_HZ } from '../../model/frequency-grid.ts';
import { noiseBesideSweep } from '../sweeps/section-response.ts';
import type { SectionResponses } from '../sweeps/section-responses.ts';
import { size } from './gain-change.ts';

/** A sweep with this much more noise beside it than the quietest of the take is looked through for knocks. */
const NOISIER_BY = 1.25;
/** The same around one frequency, where a chime is: noise of the few bins averaged there scatters by a third. */
const TONE_BY = 2.5;
/** Beside a closing sweep a steady line spreads over 35 times the density that it has beside an opening one (50 Hz, measured). */
const SPREAD_TONE_BY = 60;
const NOISE = gridSpan([20, 18_000]);
/** Parts of the band that are compared for it: thumps are low, clicks are high. */
const NOISE_BANDS = [
  gridSpan([20, MIDDLE_HZ[0]]),
  gridSpan(MIDDLE_HZ),
  gridSpan([MIDDLE_HZ[1], 18_000]),
] as const;

/** A linear system reads alike by both sweeps of a side within 0.02 dB (tests/measure); what lasts, however faint, shows so. */
const UNLIKE_DB = 0.03;
const UNLIKE_SIGMAS = 4;
const UNLIKE_POINTS = 3;
const LEAST_SNR = 30;

/** The sweeps of a take. */
export interface Sweeps {
  readonly openings: readonly SectionResponses[];
  readonly closings: readonly SectionResponses[];
  readonly low: SectionResponses | null;
}

/**
 * Sweeps beside which there is more noise than beside the quietest of their length: in any part of the band, or far more
 * around one frequency, and those that read otherwise than the closing sweep of their side. A steady line, hum or an engine's, spreads wider beside a shorter sweep, and is no reason to look.
 *
 * @param i of the channel in what was read
 */
export function noisySections({ openings, closings, low }: Sweeps, i: number): SectionResponses[] {
  const opening = openings.map((sweep) => noiseBeside(sweep, i));
  const closing = closings.map((sweep) => noiseBeside(sweep, i));
  const lowest = low === null ? [] : [noiseBeside(low, i)];
  const leastOfAll = leastDensity([...opening, ...lowest, ...closing]);
  const isNoisy = (alike: readonly NoiseBeside[]) => {
    const least = leastDensity(alike);
    return (one: NoiseBeside) =>
      isNoisier(one, alike) ||
      hasTone(one, { least, factor: TONE_BY }) ||
      hasTone(one, { least: leastOfAll, factor: SPREAD_TONE_BY });
  };
  return [
    ...opening.filter(
      (one, side) =>
        isNoisy(opening)(one) || isUnlike(openings[side].channels[i], closings[side].channels[i]),
    ),
    ...closing.filter(isNoisy(closing)),
    ...lowest.filter(
      (one) =>
        isNoisier(one, [...opening, ...lowest]) ||
        hasTone(one, { least: leastOfAll, factor: SPREAD_TONE_BY }),
    ),
  ].map(({ sweep }) => sweep);
}

function isUnlike(opening: SweepResponse, closing: SweepResponse): boolean {
  for (let k = NOISE.first, run = 0; k <= NOISE.last; k++) {
    const [one, other] = [size(opening, k), size(closing, k)];
    const noise = Math.hypot(opening.sigma[k] / one, closing.sigma[k] / other);
    const differsDb = DB_PER_NEPER * Math.abs(Math.log(one / other));
    run = noise < 1 / LEAST_SNR && differsDb > UNLIKE_DB + UNLIKE_SIGMAS * DB_PER_NEPER * noise ? run + 1 : 0;
    if (run === UNLIKE_POINTS) return true;
  }
  return false;
}

interface NoiseBeside {
  readonly sweep: SectionResponses;
  readonly density: Float64Array;
  /** One for each of NOISE_BANDS. */
  readonly medians: readonly number[];
}

function noiseBeside(sweep: SectionResponses, i: number): NoiseBeside {
  const density = noiseBesideSweep(sweep, i);
  const medians = NOISE_BANDS.map(({ first, last }) => median(density.subarray(first, last + 1)));
  return { sweep, density, medians };
}

function isNoisier({ medians }: NoiseBeside, alike: readonly NoiseBeside[]): boolean {
  return medians.some(
    (median, band) => median > NOISIER_BY * Math.min(...alike.map((other) => other.medians[band])),
  );
}

function hasTone(
  { density }: NoiseBeside,
  { least, factor }: { least: Float64Array; factor: number },
): boolean {
  const { first, last } = NOISE;
  return density.subarray(first, last + 1).some((value, k) => value > factor * least[first + k]);
}

function leastDensity(sweeps: readonly NoiseBeside[]): Float64Array {
  const least = Float64Array.from(sweeps[0].density);
  for (const { density } of sweeps)
    for (let k = 0; k < least.length; k++) least[k] = Math.min(least[k], density[k]);
  return least;
}
