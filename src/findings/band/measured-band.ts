import { mean } from '../../dsp/statistics.ts';
import type { BandEdge } from '../../model/finding.ts';
import { gridFrequencyHz, nearestPoint } from '../../model/frequency-grid.ts';
import { type MeasuredOrReason, measured, notMeasurable } from '../../model/measured.ts';
import { levelProfile } from '../bass/level-profile.ts';
import type { BandEnd } from './band-curve.ts';
import { outermostCrossingHz } from './band-points.ts';
import { type FittedTap, fittedRangeHz } from './fitted-tap.ts';

/** Points of the grid, either way, over which the measured curve is smoothed: a sixth of an octave, so that no ripple ends a band. */
const SMOOTHED_POINTS = 4;
/** The pass band is what lies this near to the strongest, and its level the median of that (common practice: EQ of 6 dB and more). */
const PASS_BAND_DB = 9;
/** Its level is no better known than by how far this part of it lies from the median. */
const QUARTER = 0.25;
/** A fall of this much that still goes on at nearly 6 dB an octave is a band limit whatever made it. */
export const LEAST_FALL_DB = 9;
export const LEAST_SLOPE_DB = 5;
/** A band that reaches this far, and falls by less than this, ends nowhere. */
const WHOLE_BAND_HZ = [40, 12_000] as const;
const NO_FALL_DB = 6;
/** Nor does one whose fall has come to an end, whatever shelf it was. */
const LEVELLED_OFF_DB = 2;
/** A point known no better is not told (common practice: a sixth of an octave). */
const LEAST_CERTAIN = 0.12;

/** One end of a tap's band as it was measured, whatever a fit makes of it. */
interface MeasuredEnd {
  readonly verdict: 'falls on' | 'goes on' | 'cannot be told';
  readonly fallDb: number;
  readonly edge: BandEdge | null;
}

/**
 * Where a band ends by the measured level alone, for taps that no filter and no EQ explains: an all-pass, a compressor,
 * paths summed. A fall that goes on to the end of what stands clear of the noise is a limit; slope and filter are not told.
 */
export function measuredEnd(tap: FittedTap, side: BandEnd): MeasuredEnd {
  const [lowestHz, highestHz] = fittedRangeHz(tap);
  const levelDb = smoothedLevels(tap);
  const at = (hz: number) => levelDb[nearestPoint(hz)];
  const pass = passBand(levelDb, [lowestHz, highestHz]);
  const [end, inner] = side === 'low' ? [lowestHz, 2 * lowestHz] : [highestHz, highestHz / 2];
  const fallDb = pass.levelDb - at(end);
  const lastOctaveDb = at(inner) - at(end);
  if (fallDb > LEAST_FALL_DB && lastOctaveDb > LEAST_SLOPE_DB)
    return { verdict: 'falls on', fallDb, edge: edgeOf({ tap, side, levelDb, pass }) };
  const reachesOut = side === 'low' ? lowestHz <= WHOLE_BAND_HZ[0] : highestHz >= WHOLE_BAND_HZ[1];
  const ends = reachesOut && (fallDb < NO_FALL_DB || lastOctaveDb < LEVELLED_OFF_DB);
  return { verdict: ends ? 'goes on' : 'cannot be told', fallDb, edge: null };
}

function smoothedLevels({ average: { response } }: FittedTap): Float64Array {
  const { levelDb } = levelProfile(response);
  return levelDb.map((_, i) => {
    const [from, to] = [Math.max(0, i - SMOOTHED_POINTS), Math.min(levelDb.length - 1, i + SMOOTHED_POINTS)];
    return mean(levelDb.subarray(from, to + 1));
  });
}

interface PassBand {
  readonly levelDb: number;
  readonly plusMinusDb: number;
}

function passBand(levelDb: Float64Array, [fromHz, toHz]: readonly [number, number]): PassBand {
  const inside = levelDb.filter((_, i) => gridFrequencyHz[i] >= fromHz && gridFrequencyHz[i] <= toHz);
  const strongest = Math.max(...inside);
  const pass = inside.filter((value) => value > strongest - PASS_BAND_DB).sort();
  const at = (part: number) => pass[Math.round(part * (pass.length - 1))];
  return { levelDb: at(0.5), plusMinusDb: Math.max(at(1 - QUARTER) - at(0.5), at(0.5) - at(QUARTER)) };
}

function edgeOf(of: { tap: FittedTap; side: BandEnd; levelDb: Float64Array; pass: PassBand }): BandEdge {
  const unknown = notMeasurable({ code: 'no filter explains the response' });
  return {
    minus3Hz: pointOf(of, 3.0103),
    minus6Hz: pointOf(of, 6.0206),
    slopeDbPerOctave: unknown,
    filter: unknown,
  };
}

function pointOf(
  { tap, side, levelDb, pass }: { tap: FittedTap; side: BandEnd; levelDb: Float64Array; pass: PassBand },
  dropDb: number,
): MeasuredOrReason {
  const at = (passDb: number) =>
    outermostCrossingHz(levelDb, { thresholdDb: passDb - dropDb, side, rangeHz: fittedRangeHz(tap) });
  const value = at(pass.levelDb);
  if (value === null) return notMeasurable({ code: 'no such fall in the band', dropDb });
  const others = [at(pass.levelDb - pass.plusMinusDb), at(pass.levelDb + pass.plusMinusDb)];
  const relative = Math.max(
    ...others.map((other) => (other === null ? Number.POSITIVE_INFINITY : Math.abs(Math.log(other / value)))),
  );
  return relative > LEAST_CERTAIN
    ? notMeasurable({ code: 'pass band not level enough for the point' })
    : measured({ value, plusMinus: value * Math.max(relative, 1 / 160) });
}
