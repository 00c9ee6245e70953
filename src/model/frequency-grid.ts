/**
 * The frequencies at which every response is kept: 160 a decade, base-ten series of IEC 61260-1 so that each exact
 * third-octave midband frequency is a point of the grid (every 16th).
 */
export const POINTS_PER_DECADE = 160;
const FIRST_INDEX = -2 * POINTS_PER_DECADE; // 10 Hz
const LAST_INDEX = 208; // 19 953 Hz

export const gridFrequencyHz: Float64Array = Float64Array.from(
  { length: LAST_INDEX - FIRST_INDEX + 1 },
  (_, i) => 1000 * 10 ** ((i + FIRST_INDEX) / POINTS_PER_DECADE),
);

/** Position of a frequency on the grid, in points, not rounded; outside the grid it runs past the ends. */
export function gridPosition(frequencyHz: number): number {
  return POINTS_PER_DECADE * Math.log10(frequencyHz / 1000) - FIRST_INDEX;
}

/** What rounding makes of a frequency that is a point of the grid. */
const ON_A_POINT = 1e-9;

export type RangeHz = readonly [number, number];

/** What is called the middle: far from where bass and treble are cut, split or set (common practice). */
export const MIDDLE_HZ: RangeHz = [300, 3000];

/** Of grid points: nothing where the last lies before the first. */
export interface GridSpan {
  readonly first: number;
  readonly last: number;
}

/** First and last grid point within a band. */
export function gridSpan([lowHz, highHz]: RangeHz): GridSpan {
  return {
    first: clamped(Math.ceil(gridPosition(lowHz) - ON_A_POINT)),
    last: clamped(Math.floor(gridPosition(highHz) + ON_A_POINT)),
  };
}

/** The grid points within a band, in order. */
export function gridPoints(rangeHz: RangeHz): number[] {
  const { first, last } = gridSpan(rangeHz);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, k) => first + k);
}

/** The grid point nearest to a frequency, the outermost beyond the ends. */
export function nearestPoint(frequencyHz: number): number {
  return clamped(Math.round(gridPosition(frequencyHz)));
}

function clamped(index: number): number {
  return Math.min(gridFrequencyHz.length - 1, Math.max(0, index));
}

/** Grid values at any frequency, straight lines between points on the logarithmic axis. */
export function valueAt(onGrid: Float64Array, frequencyHz: number): number {
  const last = gridFrequencyHz.length - 1;
  const upper = Math.max(1, Math.min(last, Math.ceil(gridPosition(frequencyHz) - ON_A_POINT)));
  const [below, above] = [gridFrequencyHz[upper - 1], gridFrequencyHz[upper]];
  const part = Math.log(frequencyHz / below) / Math.log(above / below);
  return onGrid[upper - 1] + part * (onGrid[upper] - onGrid[upper - 1]);
}
