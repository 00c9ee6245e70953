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

/** Grid values at any frequency, straight lines between points on the logarithmic axis. */
export function valueAt(onGrid: Float64Array, frequencyHz: number): number {
  const last = gridFrequencyHz.length - 1;
  const upper = Math.max(1, Math.min(last, Math.ceil(gridPosition(frequencyHz) - ON_A_POINT)));
  const [below, above] = [gridFrequencyHz[upper - 1], gridFrequencyHz[upper]];
  const part = Math.log(frequencyHz / below) / Math.log(above / below);
  return onGrid[upper - 1] + part * (onGrid[upper] - onGrid[upper - 1]);
}
