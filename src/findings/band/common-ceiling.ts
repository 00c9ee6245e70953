import { decibels } from '../../dsp/decibels.ts';
import { modulus } from '../../dsp/modulus.ts';
import { median } from '../../dsp/statistics.ts';
import type { FindingOf } from '../../model/finding.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import { allEvidence, type TapSeries } from '../tap-series.ts';
import { carriedResponse } from './carried-response.ts';

type CommonCeiling = FindingOf<'common-ceiling'>;
type TapToCompare = Pick<TapSeries, 'tap' | 'carries' | 'measurements'>;

/** A tap has treble, and so shows a ceiling, if it stands this close to its strongest above the lowest ceiling. */
const HAS_TREBLE_DB = -12;
const LOWEST_CEILING_HZ = 7_000;
/** A recording that reaches so far has no ceiling: the sweep itself ends at 20 kHz. */
const NO_CEILING_HZ = 18_600;
/**
 * A codec or a resampler falls from -1 to -12 dB within this; the steepest crossover (48 dB per octave, bilinear, at
 * 10 kHz) takes 0.26 octaves.
 */
const WIDEST_FALL_OCTAVES = 0.13;
/** Taps that end this close to each other end at the same edge. */
export const SAME_EDGE_OCTAVES = 0.06;

/**
 * An edge, far steeper than any crossover, at which every tap that has treble ends: the player or a lossy file. Null where
 * there is none, or where some tap goes on beyond it.
 */
export function findCommonCeiling(taps: readonly TapToCompare[]): CommonCeiling | null {
  const seen = taps.flatMap((series) => {
    const clearest = clearestResponse(series);
    if (clearest === null) return [];
    const end = trebleEnd(clearest);
    return end === null ? [] : [{ series, end }];
  });
  const ceilings = seen.flatMap(({ end }) => (end === 'goes on' ? [] : [end])).sort((a, b) => a - b);
  if (ceilings.length === 0 || ceilings.length < seen.length) return null;
  if (Math.log2(ceilings[ceilings.length - 1] / ceilings[0]) > SAME_EDGE_OCTAVES) return null;
  const series = seen.map((one) => one.series);
  return {
    kind: 'common-ceiling',
    id: 'common-ceiling',
    tapIds: series.map(({ tap }) => tap.id),
    evidence: allEvidence(series.flatMap(({ measurements }) => measurements)),
    ceilingHz: median(ceilings),
  };
}

/** The response with the best ratio to its noise. */
function clearestResponse({ measurements, carries }: TapToCompare): FrequencyResponse | null {
  const responses = measurements.map((measurement) => carriedResponse(measurement, carries));
  const clearance = ({ real, imag, sigma }: FrequencyResponse) =>
    real.reduce((sum, re, i) => sum + Math.log(modulus(re, imag[i]) / sigma[i]), 0);
  return responses
    .filter(({ trustedHz }) => trustedHz !== null)
    .reduce<FrequencyResponse | null>(
      (best, one) => (best === null || clearance(one) > clearance(best) ? one : best),
      null,
    );
}

/** Where a tap's treble breaks off; null for a tap without treble. */
function trebleEnd({ real, imag, sigma }: FrequencyResponse): number | 'goes on' | null {
  const level = real.map((re, i) => decibels(modulus(re, imag[i]) + 1e-15));
  const strongest = Math.max(...level);
  const noiseDb = sigma.map((value) => decibels(value * Math.SQRT2 + 1e-15));
  const treble = level.filter(
    (_, i) => gridFrequencyHz[i] >= LOWEST_CEILING_HZ / 2 && gridFrequencyHz[i] < LOWEST_CEILING_HZ,
  );
  const reference = median(treble);
  if (reference < strongest + HAS_TREBLE_DB) return null;
  const top = Math.max(...Array.from(gridFrequencyHz, (hz, i) => (hz <= NO_CEILING_HZ ? i : 0)));
  let last = top;
  while (last > 0 && level[last] < reference - 12) last--;
  if (last === top || gridFrequencyHz[last] < LOWEST_CEILING_HZ) return last === top ? 'goes on' : null;
  // From the last point near full level to the first that stays 12 dB below it.
  let shoulder = last;
  const shoulderDb = localLevel(level, last) - 1;
  while (shoulder > 0 && level[shoulder] < shoulderDb) shoulder--;
  const fall = Math.log2(gridFrequencyHz[last + 1] / gridFrequencyHz[shoulder]);
  const clear = level[shoulder] > noiseDb[shoulder] + 12;
  return fall <= WIDEST_FALL_OCTAVES && clear ? gridFrequencyHz[last] : 'goes on';
}

/** Median level from half an octave to a sixth below a point. */
function localLevel(level: Float64Array, index: number): number {
  return median(level.subarray(Math.max(0, index - 24), Math.max(1, index - 8)));
}
