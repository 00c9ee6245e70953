import { edgeTable, TABLE_REACH } from '../../dsp/fit/edge-table.ts';
import { CORNER_ERROR, hasImplausibleEq, isFilterUnsure } from '../band/band-edge.ts';
import { edgeOf, type FittedEdge, type FittedTap, fittedRangeHz } from '../band/fitted-tap.ts';
import { isUnexplained } from '../band/unexplained.ts';

/** A filter of another family or order, mended by EQ, takes up to a tenth of its delay from the time of flight (the same). */
const UNSURE_FILTER_ERROR = 0.1;
/**
 * A peak or shelf above the measured band turns the phase below it evenly, as a delay does: by (a - 1 / a) / (q w) with
 * a = 10^(gain / 40). This is 3 dB with q = 0.7 an octave above the band, times w at its end.
 */
const UNSEEN_EQ_RADIANS = 0.25;
/** No EQ lies above the audible. */
const HIGHEST_EQ_HZ = 20_000;
/** A processor's rate that is taken wrongly, or what rebuilds the signal, passes for nearly a tenth of a sample at 48 kHz. */
const REBUILDING_SECONDS = 1.9e-6;

/**
 * How far the arrival that a tap's own fit leaves may be off for other reasons than noise, seconds, 95 %: the filters take
 * most of a band-limited tap's delay, and what they take wrongly is taken from the time of flight. Infinite where the fitted
 * edge is not the tap's, or nothing fits it.
 */
export function modelErrorSeconds(tap: FittedTap): number {
  const [, highestHz] = fittedRangeHz(tap);
  const edges = (['low', 'high'] as const).flatMap((side) => edgeOf(tap.best, side) ?? []);
  if (isUnexplained(tap) || (edges.length > 0 && hasImplausibleEq(tap))) return Number.POSITIVE_INFINITY;
  const ofEdges = edges.map(
    (edge) =>
      (isFilterUnsure(tap, edge) ? UNSURE_FILTER_ERROR : CORNER_ERROR) *
      passBandDelaySeconds(edge, highestHz),
  );
  const ofUnseenEq = 2 * highestHz < HIGHEST_EQ_HZ ? UNSEEN_EQ_RADIANS / (2 * Math.PI * highestHz) : 0;
  return Math.hypot(...ofEdges, ofUnseenEq, REBUILDING_SECONDS);
}

/** What an edge delays its pass band by: a low-pass all of it, a high-pass hardly the top, where arrivals are read. */
function passBandDelaySeconds({ shape, cornerHz }: FittedEdge, highestHz: number): number {
  const { phase } = edgeTable(shape.family, shape.order);
  const seconds = (-phase[0] * Math.exp(TABLE_REACH)) / (2 * Math.PI * cornerHz);
  return shape.side === 'low-pass' ? seconds : seconds * Math.min(1, cornerHz / highestHz);
}
