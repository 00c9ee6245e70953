import { decibels, ratioOf } from '../../dsp/decibels.ts';
import { modulus } from '../../dsp/modulus.ts';
import { median } from '../../dsp/statistics.ts';
import type { SweepResponse } from '../../dsp/sweep-response.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import { type FrequencyResponse, isWithin } from '../../model/response.ts';
import { frequencyResponse } from './trusted-band.ts';

/**
 * A band is what lies within this of its strongest: more than a loudness contour lifts, and where it ends does not hang on the
 * noise. Down the skirt of a subwoofer's output the trusted band ends elsewhere in every take, and takes the median with it.
 */
const BAND_DB = 20;

/** Median magnitude of a response over its band, where it is trusted, decibels; null where nothing is. */
export function medianDb({
  real,
  imag,
  trustedHz,
}: Pick<FrequencyResponse, 'real' | 'imag' | 'trustedHz'>): number | null {
  if (trustedHz === null) return null;
  const trusted = real
    .map((re, i) => modulus(re, imag[i]))
    .filter((_, i) => isWithin(trustedHz, gridFrequencyHz[i]));
  const least = Math.max(...trusted) * ratioOf(-BAND_DB);
  return decibels(median(trusted.filter((magnitude) => magnitude >= least)) + 1e-15);
}

/** The same of a response of which it is not known yet where it can be trusted. */
export function medianLevelDbFs(response: SweepResponse): number | null {
  return medianDb(frequencyResponse(response));
}

/** Of the stronger programme. */
export function strongerMedianDb(of: {
  readonly left: FrequencyResponse;
  readonly right: FrequencyResponse;
}): number | null {
  const levels = [of.left, of.right].flatMap((response) => medianDb(response) ?? []);
  return levels.length === 0 ? null : Math.max(...levels);
}
