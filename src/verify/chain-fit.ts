import { decibelsOfPower } from '../dsp/decibels.ts';
import {
  evaluateOnGrid,
  type FilterFamily,
  ORDERS_OF_FAMILY,
  orderOfSlope,
  prototypeSections,
} from '../dsp/filter-prototype.ts';
import { mean, standardDeviation } from '../dsp/statistics.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { RecommendationOf } from '../model/recommendation.ts';

type PlannedFilter = Pick<RecommendationOf<'filter'>, 'type' | 'cornerHz' | 'slopeDbPerOctave'>;

/** What one recorded setting says: measured over planned without filters, decibels, at points of the frequency grid. */
export interface ChainData {
  readonly points: readonly number[];
  readonly differenceDb: readonly number[];
  /** Planned restoration at the same points that this recording should hold. */
  readonly boostDb: readonly number[];
}

/** One filter of the amplifier as it stands; `family` null where it is off. */
interface FittedFilter {
  readonly family: FilterFamily | null;
  readonly cornerHz: number;
}

export interface ChainFit {
  /** Measured gain over planned gain. */
  readonly gainDb: number;
  /** Share of the planned restoration that is missing (-1: all of it); null where gain and restoration cannot be told apart. */
  readonly restorationShare: number | null;
  readonly filters: readonly FittedFilter[];
  /** Standard deviation of what no knob explains. */
  readonly residualDb: number;
}

/** Common practice: car amplifiers have either. */
const FAMILIES = ['butterworth', 'linkwitz-riley'] as const;
/** Corners are looked for within an octave of the planned one, in steps of 3 percent. */
const STEPS_PER_OCTAVE = 24;
/** A boost that varies by less over the data is as good as a gain. */
const LEAST_BOOST_SPREAD_DB = 0.5;

/**
 * The knobs that explain the difference between what was measured and what was planned: one gain, one share of the
 * restoration, and a family and corner for each planned filter. Least squares over all settings.
 *
 * @param filters planned for this node; an empty list where none is in the way
 */
export function fitChain(data: readonly ChainData[], filters: readonly PlannedFilter[]): ChainFit {
  const points = data.flatMap((one) => [...one.points]);
  const difference = data.flatMap((one) => [...one.differenceDb]);
  const boost = data.flatMap((one) => [...one.boostDb]);
  const tellsBoost = standardDeviation(boost) >= LEAST_BOOST_SPREAD_DB;
  let best: ChainFit | null = null;
  for (const combination of combinations(filters.map(candidatesFor))) {
    const left = difference.map((db, j) =>
      combination.reduce((rest, { lossDb }) => rest - lossDb[points[j]], db),
    );
    const { gainDb, share } = tellsBoost ? line(left, boost) : { gainDb: mean(left), share: 0 };
    const residualDb = Math.sqrt(mean(left.map((db, j) => (db - gainDb - share * boost[j]) ** 2)));
    if (best !== null && residualDb >= best.residualDb) continue;
    best = {
      gainDb,
      restorationShare: tellsBoost ? share : null,
      filters: combination.map(({ family, cornerHz }) => ({ family, cornerHz })),
      residualDb,
    };
  }
  return best!;
}

/** Complex response of fitted filters on the frequency grid. */
export function filterResponse(
  filters: readonly FittedFilter[],
  planned: readonly PlannedFilter[],
): { real: Float64Array; imag: Float64Array } {
  const sections = filters.map(({ family, cornerHz }, k) =>
    family === null ? null : responseOf({ family, cornerHz, ...sideAndOrder(planned[k]) }),
  );
  const real = new Float64Array(gridFrequencyHz.length).fill(1);
  const imag = new Float64Array(gridFrequencyHz.length);
  for (const one of sections.filter((response) => response !== null)) {
    for (let i = 0; i < real.length; i++) {
      const re = real[i] * one.real[i] - imag[i] * one.imag[i];
      imag[i] = real[i] * one.imag[i] + imag[i] * one.real[i];
      real[i] = re;
    }
  }
  return { real, imag };
}

interface Candidate extends FittedFilter {
  readonly lossDb: Float64Array;
}

function candidatesFor(planned: PlannedFilter): Candidate[] {
  const { side, order } = sideAndOrder(planned);
  const off = { family: null, cornerHz: planned.cornerHz, lossDb: new Float64Array(gridFrequencyHz.length) };
  const corners = Array.from(
    { length: 2 * STEPS_PER_OCTAVE + 1 },
    (_, i) => planned.cornerHz * 2 ** ((i - STEPS_PER_OCTAVE) / STEPS_PER_OCTAVE),
  );
  const families = FAMILIES.filter((family) => ORDERS_OF_FAMILY[family].includes(order));
  return [
    off,
    ...families.flatMap((family) =>
      corners.map((cornerHz) => {
        const { real, imag } = responseOf({ family, cornerHz, side, order });
        const lossDb = real.map((re, i) => decibelsOfPower(re * re + imag[i] * imag[i] + 1e-30));
        return { family, cornerHz, lossDb };
      }),
    ),
  ];
}

function sideAndOrder({ type, slopeDbPerOctave }: PlannedFilter) {
  return { side: type, order: orderOfSlope(slopeDbPerOctave) };
}

function responseOf({
  cornerHz,
  ...filter
}: {
  family: FilterFamily;
  order: number;
  side: 'low-pass' | 'high-pass';
  cornerHz: number;
}) {
  return evaluateOnGrid(prototypeSections(filter), {
    frequencyHz: gridFrequencyHz,
    cornerHz,
    sampleRateHz: null,
  });
}

function combinations<Item>(lists: readonly (readonly Item[])[]): Item[][] {
  return lists.reduce<Item[][]>(
    (made, list) => made.flatMap((start) => list.map((item) => [...start, item])),
    [[]],
  );
}

/** Straight line of `y` over `x`. */
function line(y: readonly number[], x: readonly number[]): { gainDb: number; share: number } {
  const [meanX, meanY] = [mean(x), mean(y)];
  const cross = mean(x.map((value, j) => (value - meanX) * (y[j] - meanY)));
  const share = cross / mean(x.map((value) => (value - meanX) ** 2));
  return { gainDb: meanY - share * meanX, share };
}
