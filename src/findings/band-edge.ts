import type { Candidate } from '../dsp/fit/candidate.ts';
import type { BandEdge } from '../model/finding.ts';
import { type Measured, measured, notMeasurable } from '../model/measured.ts';
import { bandCurve, fitMisfitDb, minusPoint } from './band-points.ts';
import { eqOf } from './fitted-eq.ts';
import { COVERAGE_95, edgeOf, type FittedEdge, type FittedTap, fittedRangeHz } from './fitted-tap.ts';

type Side = 'low' | 'high';

/** Decibels per octave of each order. */
const SLOPE_PER_ORDER = 6;
/** Loss that the edge must reach inside the measured band: with less, anything may follow. */
const LEAST_LOSS_DB = 5.5;
/**
 * How far the pass band must stand above the response's own noise for slope and family: with less, filters of neighbouring
 * orders differ by little more than noise, and one lucky draw would name the wrong one. Recordings of 20 dB SNR have 36 dB
 * here, five of them averaged 43, recordings of 40 dB have 56 (tests/findings/exact-responses.ts).
 */
const SHAPE_NEEDS_DB = 45;
/** A fit that misses by more (RMS, an octave either way of the corner) describes the edge but does not identify the filter. */
const FAMILY_MISFIT_DB = 0.15;
const SLOPE_MISFIT_DB = 1;
/** With more peaks and shelves than this around a corner, wrong filters are mended into right ones (tests/findings/band-study.test.ts). */
const MOST_EQ_AROUND = 2;
const AROUND_OCTAVES = 1.5;
const LEAST_EQ_DB = 0.2;

/** The edge that the best explanation has on a side, if it shows inside the measured band. */
export function visibleEdge(tap: FittedTap, candidate: Candidate, side: Side): FittedEdge | null {
  const edge = edgeOf(candidate, side);
  if (edge === null) return null;
  const [lowestHz, highestHz] = fittedRangeHz(tap);
  const { lossDbAt } = bandCurve(candidate);
  return lossDbAt(side === 'low' ? lowestHz : highestHz, side) >= LEAST_LOSS_DB ? edge : null;
}

export function bandEdge(tap: FittedTap, side: Side): BandEdge | null {
  const edge = visibleEdge(tap, tap.best, side);
  if (edge === null) return null;
  return {
    minus3Hz: minusPoint(tap, { side, dropDb: 3.0103 }),
    minus6Hz: minusPoint(tap, { side, dropDb: 6.0206 }),
    ...identified(tap, side, edge),
  };
}

function identified(
  tap: FittedTap,
  side: Side,
  edge: FittedEdge,
): Pick<BandEdge, 'slopeDbPerOctave' | 'filter'> {
  if (clearanceDb(tap) < SHAPE_NEEDS_DB) {
    const reason = notMeasurable(
      'too much noise to tell the slope',
      'the same take with less noise or more level at the recorder',
    );
    return { slopeDbPerOctave: reason, filter: reason };
  }
  if (eqAround(tap.best, edge.cornerHz) > MOST_EQ_AROUND) {
    const reason = notMeasurable(
      'so much EQ lies around the corner that filters of other slopes and families would fit as well',
    );
    return { slopeDbPerOctave: reason, filter: reason };
  }
  const shapes = [edge, ...tap.rivals.flatMap((rival) => edgeOf(rival, side) ?? [])].map(
    ({ shape }) => shape,
  );
  const slopes = [...new Set(shapes.map(({ order }) => SLOPE_PER_ORDER * order))];
  const names = [...new Set(shapes.map(({ family, order }) => `${family} of order ${order}`))];
  const misfitDb = fitMisfitDb(tap, edge.cornerHz);
  const misfit = notMeasurable(`no filter follows the measured edge closer than ${misfitDb.toFixed(1)} dB`);
  const shared = (what: readonly string[]) =>
    notMeasurable(`${what.join(', ')} fit equally well within the noise`);
  const { family, order } = edge.shape;
  return {
    slopeDbPerOctave:
      misfitDb > SLOPE_MISFIT_DB
        ? misfit
        : slopes.length > 1
          ? shared(slopes.map((slope) => `${slope} dB per octave`))
          : slopes[0],
    filter:
      misfitDb > FAMILY_MISFIT_DB
        ? misfit
        : names.length > 1
          ? shared(names)
          : { family, order, cornerHz: cornerOf(tap, side, edge) },
  };
}

/** Peaks and shelves of a fit near a frequency. */
function eqAround(candidate: Candidate, cornerHz: number): number {
  return eqOf(candidate).filter(
    ({ frequencyHz, gainDb }) =>
      Math.abs(gainDb) >= LEAST_EQ_DB && Math.abs(Math.log2(frequencyHz / cornerHz)) <= AROUND_OCTAVES,
  ).length;
}

/** Median of the response over its noise where the edges take little. */
function clearanceDb({ average, data }: FittedTap): number {
  const { real, imag, sigma } = average.response;
  const ratios = real.map((re, i) => Math.hypot(re, imag[i]) / sigma[i]).sort();
  const inBand = ratios.slice(-data.frequencyHz.length);
  return 20 * Math.log10(inBand[Math.floor(inBand.length / 2)]);
}

function cornerOf(tap: FittedTap, side: Side, { cornerHz, parameter }: FittedEdge): Measured {
  const { covariance, parameters } = tap.best.fit;
  const variance = covariance[parameter * parameters.length + parameter] * tap.reducedChiSquare;
  const spread = Math.max(
    0,
    ...tap.rivals.map((rival) => Math.abs(Math.log((edgeOf(rival, side)?.cornerHz ?? cornerHz) / cornerHz))),
  );
  return measured({
    value: cornerHz,
    plusMinus: cornerHz * Math.hypot(COVERAGE_95 * Math.sqrt(variance), spread),
  });
}
