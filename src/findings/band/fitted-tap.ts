import { DB_PER_NEPER } from '../../dsp/decibels.ts';
import type { Candidate } from '../../dsp/fit/candidate.ts';
import { minus3PerCorner } from '../../dsp/fit/edge-points.ts';
import { HIGHEST_COUPLING_HZ } from '../../dsp/fit/eq-atoms.ts';
import type { EdgeShape, TermShape } from '../../dsp/fit/filter-terms.ts';
import { type LogResponse, logResponse } from '../../dsp/fit/log-response.ts';
import { FIRST_TERM_PARAMETER } from '../../dsp/fit/response-fit.ts';
import { searchModel } from '../../dsp/fit/search-model.ts';
import { mean, median } from '../../dsp/statistics.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { Reason } from '../../model/reason.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import { type AveragedTap, averagedTap } from './averaged-tap.ts';
import { type Carries, carriedResponse } from './carried-response.ts';

/** One tap's response explained by filters, once, for all findings that rest on it: band limits, crossovers, timing. */
export interface FittedTap {
  readonly tapId: string;
  readonly carries: Carries;
  readonly measurements: readonly TapMeasurement[];
  readonly average: AveragedTap;
  readonly data: LogResponse;
  readonly best: Candidate;
  /** Explanations that the noise does not rule out: other edges, other processing rates. */
  readonly rivals: readonly Candidate[];
  readonly reducedChiSquare: number;
}

/** A tap that could not be fitted, and why. */
export interface UnfittedTap {
  readonly tapId: string;
  readonly carries: Carries;
  readonly measurements: readonly TapMeasurement[];
  readonly reason: Reason;
}

interface TapToFit {
  readonly tapId: string;
  readonly carries: Carries;
  /** One tap's, ascending in setting. */
  readonly measurements: readonly TapMeasurement[];
  /** Where the player or a lossy file ends (`findCommonCeiling`): nothing near or above it is the radio's doing. */
  readonly ceilingHz: number | null;
  /** Response of a measurement, where not simply that to the programme which the tap carries. */
  readonly responseOf?: (measurement: TapMeasurement) => FrequencyResponse;
}

/**
 * Chi-square by which a rival has to be worse to be ruled out: a likelihood ratio of e^8, 3000 to 1, so that some hundred
 * findings hold no false one.
 */
export const RIVAL_MARGIN = 16;
/** What ends a lossy file bends the response from here on. */
const BELOW_CEILING = 0.93;
/** A side may hold an edge where the response is down by this at the end of its band. */
const PLAUSIBLE_LOSS_NEPER = 2 / DB_PER_NEPER;
const FULL_BAND_HZ = [25, 15_000] as const;

type UnfittedCode =
  | 'tap carries no programme'
  | 'nothing clear of the noise'
  | 'band clear of the noise too narrow';

/** Fits a tap's averaged response; the result serves every finding about its filters and its timing. */
export function fitTap(of: TapToFit): FittedTap | UnfittedTap {
  const { tapId, carries, measurements, ceilingHz } = of;
  const unfitted = (code: UnfittedCode): UnfittedTap => ({
    tapId,
    carries,
    measurements,
    reason: { code },
  });
  if (carries === 'nothing') return unfitted('tap carries no programme');
  const average = averagedTap(measurements, of.responseOf ?? ((one) => carriedResponse(one, carries)));
  if (average === null || average.response.trustedHz === null) return unfitted('nothing clear of the noise');
  const [fromHz, toHz] = average.response.trustedHz;
  const data = logResponse(average.response, {
    frequencyHz: gridFrequencyHz,
    rangeHz: [fromHz, ceilingHz === null ? toHz : Math.min(toHz, BELOW_CEILING * ceilingHz)],
  });
  if (data === null) return unfitted('band clear of the noise too narrow');
  const search = searchModel(data, plausibleEdges(data));
  const margin = RIVAL_MARGIN * Math.max(1, search.reducedChiSquare);
  return {
    tapId,
    carries,
    measurements,
    average,
    data: search.data,
    best: search.best,
    rivals: search.others.filter(({ fit }) => fit.chiSquare - search.best.fit.chiSquare < margin),
    reducedChiSquare: search.reducedChiSquare,
  };
}

export function isFitted(tap: FittedTap | UnfittedTap): tap is FittedTap {
  return 'best' in tap;
}

/** Lowest and highest frequency that the fit rests on. */
export function fittedRangeHz({ data }: FittedTap): readonly [number, number] {
  return [data.frequencyHz[0], data.frequencyHz[data.frequencyHz.length - 1]];
}

export interface FittedEdge {
  readonly shape: EdgeShape;
  readonly cornerHz: number;
  /** Index of the corner among the fit's parameters. */
  readonly parameter: number;
}

/** A roll-off that is 3 dB down only outside of these is no edge that the recording shows. */
const EDGE_RANGE_HZ = [12, 18_500] as const;

/** The edge that limits a tap's band on one side; null where the fit has none, or only the recorder's coupling. */
export function edgeOf({ low, high, fit }: Candidate, side: 'low' | 'high'): FittedEdge | null {
  const shape = side === 'low' ? low : high;
  if (shape === null) return null;
  const parameter = side === 'high' && low !== null ? FIRST_TERM_PARAMETER + 1 : FIRST_TERM_PARAMETER;
  const cornerHz = Math.exp(fit.parameters[parameter]);
  const minus3Hz = cornerHz * minus3PerCorner(shape);
  if (isCoupling(shape, cornerHz)) return null;
  return minus3Hz > EDGE_RANGE_HZ[0] && minus3Hz < EDGE_RANGE_HZ[1] ? { shape, cornerHz, parameter } : null;
}

/** Whether a term is the coupling of recorder or radio. */
export function isCoupling(term: TermShape, cornerHz: number): boolean {
  return (
    term.kind === 'edge' && term.side === 'high-pass' && term.order === 1 && cornerHz < HIGHEST_COUPLING_HZ
  );
}

/** Where edges may be, judged by the levels at the ends of the band against those at its top. */
function plausibleEdges({ frequencyHz, lnMagnitude }: LogResponse) {
  const sorted = Float64Array.from(lnMagnitude).sort();
  const top = sorted[Math.floor(0.9 * sorted.length)];
  const passBand = sorted.filter((value) => value > top - 1);
  const level = median(passBand);
  const last = frequencyHz.length - 1;
  const levelFrom = (from: number) => mean(lnMagnitude.subarray(from, from + 3));
  const inside = Array.from(lnMagnitude, (value, i) => (value > level - 0.35 ? i : -1)).filter((i) => i >= 0);
  const lowPlausible = levelFrom(0) < level - PLAUSIBLE_LOSS_NEPER || frequencyHz[0] > FULL_BAND_HZ[0];
  const highPlausible =
    levelFrom(last - 2) < level - PLAUSIBLE_LOSS_NEPER || frequencyHz[last] < FULL_BAND_HZ[1];
  return {
    lowMinus3Hz: lowPlausible ? frequencyHz[inside[0]] : null,
    highMinus3Hz: highPlausible ? frequencyHz[inside[inside.length - 1]] : null,
  };
}
