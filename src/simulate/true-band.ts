import { decibelsOfPower } from '../dsp/decibels.ts';
import type { Scenario } from './scenario.ts';
import type { SimulatedTap } from './simulated-tap.ts';
import { fixedFilters } from './tap-filters.ts';
import { filterResponse, levelDbOf, tapOf } from './true-response.ts';

export interface TrueBandEdge {
  /** Where the crossover filters alone are 3 and 6 dB below the highest level that they let through. */
  readonly minus3Hz: number;
  readonly minus6Hz: number;
  readonly slopeDbPerOctave: number;
  readonly family: SimulatedTap['crossover'][number]['family'];
  readonly order: number;
  readonly cornerHz: number;
}

export interface TrueBand {
  /** The high-pass and the low-pass of the tap; null where it has none. */
  readonly lowEdge: TrueBandEdge | null;
  readonly highEdge: TrueBandEdge | null;
}

/** Search range: far enough beyond the audible for any edge. */
const LOWEST_HZ = 2;
const STEP = 1.01;
/** 6 dB an octave and order, in the trade's round figures. */
const SLOPE_PER_ORDER_DB = 6;

/** Band limits of a tap by its crossover filters; fixed EQ is left out, it limits no band. */
export function trueBand(scenario: Scenario, tapId: string): TrueBand {
  const tap = tapOf(scenario, tapId);
  if (tap.crossover.length === 0) return { lowEdge: null, highEdge: null };
  const filters = fixedFilters({ ...tap, fixedEq: [], allPass: [] });
  const response = filterResponse(scenario, filters);
  const levelDb = (frequencyHz: number) => levelDbOf(response(frequencyHz));
  const highestHz = 0.49 * scenario.recorder.sampleRateHz;
  const grid: number[] = [];
  for (let frequencyHz = LOWEST_HZ; frequencyHz < highestHz; frequencyHz *= STEP) grid.push(frequencyHz);
  const topHz = grid.reduce(
    (best, frequencyHz) => (levelDb(frequencyHz) > levelDb(best) ? frequencyHz : best),
    632,
  );

  const edge = (side: 'high-pass' | 'low-pass'): TrueBandEdge | null => {
    const filter = tap.crossover.find((candidate) => candidate.side === side);
    if (filter === undefined) return null;
    const crossing = (downDb: number) =>
      crossingHz({ levelDb, fromHz: topHz, wantedDb: levelDb(topHz) - downDb, side });
    const { family, order, cornerHz } = filter;
    return {
      minus3Hz: crossing(THREE_DB),
      minus6Hz: crossing(2 * THREE_DB),
      slopeDbPerOctave: SLOPE_PER_ORDER_DB * order,
      family,
      order,
      cornerHz,
    };
  };
  return { lowEdge: edge('high-pass'), highEdge: edge('low-pass') };
}

/** Half the power, and half the voltage at twice that. */
const THREE_DB = decibelsOfPower(2);

function crossingHz({
  levelDb,
  fromHz,
  wantedDb,
  side,
}: {
  levelDb: (frequencyHz: number) => number;
  fromHz: number;
  wantedDb: number;
  side: 'high-pass' | 'low-pass';
}): number {
  const factor = side === 'high-pass' ? 1 / STEP : STEP;
  let outside = fromHz;
  while (levelDb(outside) > wantedDb) outside *= factor;
  let inside = outside / factor;
  for (let i = 0; i < 50; i++) {
    const middle = Math.sqrt(inside * outside);
    if (levelDb(middle) > wantedDb) inside = middle;
    else outside = middle;
  }
  return outside;
}
