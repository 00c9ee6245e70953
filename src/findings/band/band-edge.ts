import { decibels } from '../../dsp/decibels.ts';
import type { Candidate } from '../../dsp/fit/candidate.ts';
import { MOST_EQ_GAIN_DB } from '../../dsp/fit/eq-atoms.ts';
import type { EdgeShape } from '../../dsp/fit/filter-terms.ts';
import { hiddenShelf } from '../../dsp/fit/hidden-shelf.ts';
import { modulus } from '../../dsp/modulus.ts';
import type { BandEdge } from '../../model/finding.ts';
import { nearestPoint } from '../../model/frequency-grid.ts';
import { type Measured, measured, notMeasurable } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import { COVERAGE } from '../coverage.ts';
import type { BandEnd } from './band-curve.ts';
import { passBandLevelDb } from './band-level.ts';
import { bandCurve, DEPENDENT_POINTS, fitMisfitDb, minusPoint } from './band-points.ts';
import { eqOf } from './fitted-eq.ts';
import { edgeOf, type FittedEdge, type FittedTap, fittedRangeHz } from './fitted-tap.ts';
import { LEAST_FALL_DB, LEAST_SLOPE_DB, measuredEnd } from './measured-band.ts';
import { isUnexplained } from './unexplained.ts';

/** Why one end of a band is not told. */
type EdgeDoubt = Extract<Reason, { code: 'ends in doubt' }>['ends'][number];

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
/**
 * With more peaks and shelves than this around a corner a wrong filter can be mended into a right one. Set so that no wrong
 * name or slope was left among 350 taps like those of tests/findings/band-study.test.ts at 50 and 60 dB (seeds 31 to 33).
 */
const MOST_EQ_FOR_FAMILY = 1;
const MOST_EQ_FOR_SLOPE = 2;
/** A peak this wide bends as slowly as a filter of order 2. */
const GENTLE_Q = 1;
/** A fitted corner is right to this much, 95 %, where neither noise nor rivals say worse (the accuracy study, 60 to 70 dB). */
export const CORNER_ERROR = 2e-5;
/** A corner known no better is not told: EQ around it trades with it, and the points say where the band ends (common practice: a twelfth of an octave). */
const LARGEST_CORNER_ERROR = 0.06;
/** Chi-square per degree of freedom beyond which the terms found are not the right ones: the wrong order that was seen left 10 (radio 104 of `random-factory.ts`). */
const WRONG_TERMS = 4;
/** A shelf of 15 dB falls by 9 dB an octave at most: steeper is a filter, whatever is fitted. */
const STEEPER_THAN_SHELVES_DB = 11;
/** A band that noise ends inside of these has ends that are not seen. */
const FULL_BAND_HZ = [60, 8000] as const;
const AROUND_OCTAVES = 2.5;
const LEAST_EQ_DB = 0.2;
/** A peak this wide and deep is no radio's either (common practice: Q from 0.7). */
const WIDE_PEAK = { q: 0.5, gainDb: 6 } as const;

/** The edge that the best explanation has on a side, if it shows inside the measured band. */
export function visibleEdge(tap: FittedTap, candidate: Candidate, side: BandEnd): FittedEdge | null {
  const edge = edgeOf(candidate, side);
  if (edge === null) return null;
  const [lowestHz, highestHz] = fittedRangeHz(tap);
  const { lossDbAt } = bandCurve(candidate);
  return lossDbAt(side === 'low' ? lowestHz : highestHz, side) >= LEAST_LOSS_DB ? edge : null;
}

/**
 * The edge that limits a tap's band on a side. Where explanations that fit equally well disagree on there being a filter, a
 * fall that keeps its slope to the end of the measured band is still a limit; only its slope and filter are withheld.
 */
export function bandEdge(tap: FittedTap, side: BandEnd): BandEdge | null {
  if (isGuess(tap)) return measuredEnd(tap, side).edge;
  const edge = visibleEdge(tap, tap.best, side);
  const sure = edge !== null && edgeDoubt(tap, side) === null;
  if (!sure && !fallsOn(tap, side, edge === null ? STEEPER_THAN_SHELVES_DB : LEAST_SLOPE_DB)) return null;
  const points = {
    minus3Hz: minusPoint(tap, { side, dropDb: 3.0103 }),
    minus6Hz: minusPoint(tap, { side, dropDb: 6.0206 }),
  };
  if (sure) return { ...points, ...identified(tap, side, edge) };
  const reason = notMeasurable({ code: 'filter or EQ makes the fall' });
  return { ...points, slopeDbPerOctave: reason, filter: reason };
}

/**
 * Why it cannot be told whether there is a filter: noise ends the band where it may be falling, what EQ explains may go on
 * falling, explanations that fit equally well disagree, or none fits; null where it can.
 */
export function edgeDoubt(tap: FittedTap, side: BandEnd): EdgeDoubt | null {
  if (isGuess(tap)) {
    const { verdict, fallDb } = measuredEnd(tap, side);
    return verdict === 'cannot be told' ? { side, why: 'no filter explains it', fallDb } : null;
  }
  const found = visibleEdge(tap, tap.best, side) !== null;
  if (!found && isLostInNoise(tap, side)) {
    const [lowestHz, highestHz] = fittedRangeHz(tap);
    return { side, why: 'noise', endHz: side === 'low' ? lowestHz : highestHz };
  }
  const disagree = tap.rivals.some((rival) => (visibleEdge(tap, rival, side) !== null) !== found);
  return disagree || (!found && fallsOn(tap, side, LEAST_SLOPE_DB)) ? { side, why: 'filter or EQ' } : null;
}

/** Whether a fit says nothing of the tap's filters: none explains it, or one with EQ that no radio has. */
export function isGuess(tap: FittedTap): boolean {
  return isUnexplained(tap) || hasImplausibleEq(tap);
}

/**
 * Whether the fit makes up for a wrong filter with EQ that no radio has: its edge is there, but neither its slope nor its
 * pass band is what the fit calls so.
 */
export function hasImplausibleEq(tap: FittedTap): boolean {
  const [lowestHz, highestHz] = fittedRangeHz(tap);
  return eqOf(tap.best).some(
    ({ kind, gainDb, frequencyHz, q }) =>
      frequencyHz > lowestHz &&
      frequencyHz < highestHz &&
      (Math.abs(gainDb) > MOST_EQ_GAIN_DB ||
        (kind === 'peak' && q < WIDE_PEAK.q && Math.abs(gainDb) > WIDE_PEAK.gainDb)),
  );
}

/** Whether another filter with other EQ, or none of those known, would do as well as the one that was fitted. */
export function isFilterUnsure(tap: FittedTap, { cornerHz }: FittedEdge): boolean {
  return (
    hasImplausibleEq(tap) ||
    hasWrongTerms(tap) ||
    eqAround(tap.best, cornerHz) > MOST_EQ_FOR_FAMILY ||
    fitMisfitDb(tap, cornerHz) > FAMILY_MISFIT_DB
  );
}

/** Whether several terms of EQ still leave far more than noise: the fit has ended at the wrong terms. */
function hasWrongTerms(tap: FittedTap): boolean {
  return tap.reducedChiSquare > WRONG_TERMS && eqOf(tap.best).length > MOST_EQ_FOR_FAMILY;
}

/** Whether the response falls far, and still falls by `slopeDb` over the last octave that stands clear of the noise. */
function fallsOn(tap: FittedTap, side: BandEnd, slopeDb: number): boolean {
  const { fallDb, lastOctaveDb } = endOfBand(tap, side);
  return fallDb > LEAST_FALL_DB && lastOctaveDb > slopeDb;
}

/** Whether noise ends the band where the response has fallen far, or a filter that fits has begun: what follows is not seen. */
function isLostInNoise(tap: FittedTap, side: BandEnd): boolean {
  const [lowestHz, highestHz] = fittedRangeHz(tap);
  const endsEarly = side === 'low' ? lowestHz > FULL_BAND_HZ[0] : highestHz < FULL_BAND_HZ[1];
  return endsEarly && (edgeOf(tap.best, side) !== null || endOfBand(tap, side).fallDb > LEAST_FALL_DB);
}

function endOfBand(tap: FittedTap, side: BandEnd): { fallDb: number; lastOctaveDb: number } {
  const [lowestHz, highestHz] = fittedRangeHz(tap);
  const curve = bandCurve(tap.best);
  const at = (hz: number) => curve.levelDb[nearestPoint(hz)];
  const [end, inner] = side === 'low' ? [lowestHz, 2 * lowestHz] : [highestHz, highestHz / 2];
  return {
    fallDb: passBandLevelDb(curve, [lowestHz, highestHz]) - at(end),
    lastOctaveDb: at(inner) - at(end),
  };
}

function identified(
  tap: FittedTap,
  side: BandEnd,
  edge: FittedEdge,
): Pick<BandEdge, 'slopeDbPerOctave' | 'filter'> {
  if (clearanceDb(tap) < SHAPE_NEEDS_DB) {
    const reason = notMeasurable(
      { code: 'too much noise for the slope' },
      { code: 'record louder or with less noise' },
    );
    return { slopeDbPerOctave: reason, filter: reason };
  }
  const shapes = [edge, ...tap.rivals.flatMap((rival) => edgeOf(rival, side) ?? [])].map(
    ({ shape }) => shape,
  );
  const slopes = [...new Set(shapes.map(({ order }) => SLOPE_PER_ORDER * order))];
  const filters = shapes
    .map(({ family, order }) => ({ family, order }))
    .filter((one, i, all) => all.findIndex((other) => isSameFilter(one, other)) === i);
  const misfitDb = fitMisfitDb(tap, edge.cornerHz);
  const misfit = notMeasurable({ code: 'no filter follows the edge', misfitDb });
  const hiddenByEq = notMeasurable({ code: 'EQ around the corner' });
  const eq = eqAround(tap.best, edge.cornerHz);
  const slopeIsHidden = eq > MOST_EQ_FOR_SLOPE || hasWrongTerms(tap);
  const familyIsHidden = eq > MOST_EQ_FOR_FAMILY || hasWrongTerms(tap) || hasGentleEqBeside(tap.best, edge);
  const { family, order } = edge.shape;
  const cornerHz = cornerOf(tap, side, edge);
  return {
    slopeDbPerOctave: slopeIsHidden
      ? hiddenByEq
      : misfitDb > SLOPE_MISFIT_DB
        ? misfit
        : slopes.length > 1
          ? notMeasurable({ code: 'slopes fit alike', slopesDbPerOctave: slopes })
          : slopes[0],
    filter: familyIsHidden
      ? hiddenByEq
      : misfitDb > FAMILY_MISFIT_DB
        ? misfit
        : filters.length > 1
          ? notMeasurable({ code: 'filters fit alike', filters })
          : cornerHz.plusMinus > LARGEST_CORNER_ERROR * cornerHz.value
            ? hiddenByEq
            : { family, order, cornerHz },
  };
}

function isSameFilter(one: Pick<EdgeShape, 'family' | 'order'>, other: typeof one): boolean {
  return one.family === other.family && one.order === other.order;
}

/** Peaks and shelves of a fit near a frequency. */
function eqAround(candidate: Candidate, cornerHz: number): number {
  return eqNear(candidate, cornerHz).length;
}

function eqNear(candidate: Candidate, cornerHz: number) {
  return eqOf(candidate).filter(
    ({ frequencyHz, gainDb }) =>
      Math.abs(gainDb) >= LEAST_EQ_DB && Math.abs(Math.log2(frequencyHz / cornerHz)) <= AROUND_OCTAVES,
  );
}

/**
 * Whether a filter of order 1 or 2 has as gentle an EQ beside it. The poles of a shelf of its Q may then be the filter's (exact: a
 * filter at the shelf's poles with a shelf from the same zeros is the very same response), and with a wide peak filters of
 * other families come as close as noise lets one see (radio 1004414 of `random-factory.ts`).
 */
function hasGentleEqBeside(candidate: Candidate, { shape, cornerHz }: FittedEdge): boolean {
  return (
    shape.order <= 2 && eqNear(candidate, cornerHz).some(({ kind, q }) => kind === 'shelf' || q < GENTLE_Q)
  );
}

/** Median of the response over its noise where the edges take little. */
function clearanceDb({ average, data }: FittedTap): number {
  const { real, imag, sigma } = average.response;
  const ratios = real.map((re, i) => modulus(re, imag[i]) / sigma[i]).sort();
  const inBand = ratios.slice(-data.frequencyHz.length);
  return decibels(inBand[Math.floor(inBand.length / 2)]);
}

function cornerOf(tap: FittedTap, side: BandEnd, { cornerHz, parameter }: FittedEdge): Measured {
  const { covariance, parameters } = tap.best.fit;
  const variance = covariance[parameter * parameters.length + parameter] * tap.reducedChiSquare;
  const { perDecibel, gainSigmaDb } = hiddenShelf(tap.data, tap.best.fit);
  const spread = Math.max(
    0,
    ...tap.rivals.map((rival) => Math.abs(Math.log((edgeOf(rival, side)?.cornerHz ?? cornerHz) / cornerHz))),
  );
  return measured({
    value: cornerHz,
    plusMinus:
      cornerHz *
      Math.hypot(
        COVERAGE * DEPENDENT_POINTS * Math.sqrt(variance),
        COVERAGE * perDecibel[parameter] * gainSigmaDb,
        spread,
        CORNER_ERROR,
      ),
  });
}
