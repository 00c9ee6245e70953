import { decibels } from '../dsp/decibels.ts';
import { mean, median } from '../dsp/statistics.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import { recordedLevel, trustedIn } from './recorded-feed.ts';

/** Whether a radio still gives what it gave when the results were saved. */
export interface SameRadio {
  readonly same: boolean;
  /** Level now over level then; null where one of them is not in volts. */
  readonly levelDb: number | null;
  /** Largest difference in shape, third-octave means with the level taken out, and where. */
  readonly shapeDb: number;
  readonly atHz: number;
}

/** What installers work with; below it short takes are noisy. */
const COMPARED_HZ = [40, 15_000] as const;
/** Third octaves of 160 points a decade, half of one either side. */
const HALF_THIRD_OCTAVE_POINTS = 8;

/**
 * Compares two measurements of one tap at one setting.
 *
 * @param withinDb most that level and shape may differ
 * @returns null where the two share no trusted band
 */
export function sameRadio({
  before,
  now,
  withinDb,
}: {
  before: TapMeasurement;
  now: TapMeasurement;
  withinDb: number;
}): SameRadio | null {
  const known = new Set(trustedIn(before, COMPARED_HZ));
  const points = trustedIn(now, COMPARED_HZ).filter((i) => known.has(i));
  if (points.length <= 2 * HALF_THIRD_OCTAVE_POINTS) return null;
  const [then, today] = [recordedLevel(before), recordedLevel(now)];
  const differenceDb = points.map((i) => decibels(today[i] / then[i]));
  const smooth = differenceDb
    .slice(HALF_THIRD_OCTAVE_POINTS, -HALF_THIRD_OCTAVE_POINTS)
    .map((_, j) => mean(differenceDb.slice(j, j + 2 * HALF_THIRD_OCTAVE_POINTS + 1)));
  const middle = median(smooth);
  const furthest = smooth.reduce(
    (most, db, j) => (Math.abs(db - middle) > Math.abs(smooth[most] - middle) ? j : most),
    0,
  );
  const shapeDb = smooth[furthest] - middle;
  const inVolts = before.voltsPerFullScale !== null && now.voltsPerFullScale !== null;
  const levelDb = inVolts ? middle : null;
  return {
    same: Math.abs(shapeDb) <= withinDb && Math.abs(levelDb ?? 0) <= withinDb,
    levelDb,
    shapeDb,
    atHz: gridFrequencyHz[points[furthest + HALF_THIRD_OCTAVE_POINTS]],
  };
}
