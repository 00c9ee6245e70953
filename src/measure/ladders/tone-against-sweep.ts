import { decibels } from '../../dsp/decibels.ts';
import type { LadderMeasurement } from '../../model/measurement.ts';
import { type FrequencyResponse, magnitudeAt, magnitudeCurve } from '../../model/response.ts';

/** By how much a ladder's tone comes through otherwise than the sweep of about its drive says. */
interface ToneAgainstSweep {
  readonly toneHz: number;
  readonly differsDb: number;
}

/** Steps that neither a limiter nor a clip has reached, near the low sweep's own drive. */
const HIGHEST_DRIVE_DB_FS = -13;
const LEAST_STEPS = 4;
/** Hum beside a tone is read with it: this far below it moves its level by 0.5 dB at most. */
const ABOVE_NOISE_DB = 25;
/** A change from outside is the same at every step; what follows the level is not. */
const STEADY_DB = 0.5;
/** Linear outputs read alike within 0.1 dB at 40 dB over the noise. */
const DIFFERS_DB = 1;

/**
 * Ladders that are louder or quieter throughout than the low sweep says: between the two the volume, the recorder's gain or a
 * plug was moved, which no other part of the track shows.
 *
 * @param low both programmes at the low drive
 */
export function tonesAgainstSweep(of: {
  ladders: readonly LadderMeasurement[];
  low: FrequencyResponse | null;
  noiseDbFs: number | null;
}): ToneAgainstSweep[] {
  const { ladders, low, noiseDbFs } = of;
  if (low === null || noiseDbFs === null) return [];
  const curve = magnitudeCurve([low]);
  return ladders.flatMap(({ toneHz, steps }) => {
    const gain = magnitudeAt(curve, toneHz);
    if (gain === null) return [];
    const differences = steps
      .filter(
        ({ driveDbFs, levelDbFs }) =>
          driveDbFs <= HIGHEST_DRIVE_DB_FS && levelDbFs > noiseDbFs + ABOVE_NOISE_DB,
      )
      .map(({ driveDbFs, levelDbFs }) => levelDbFs - driveDbFs - decibels(gain))
      .sort((a, b) => a - b);
    const [least, most] = [differences[0], differences[differences.length - 1]];
    if (differences.length < LEAST_STEPS || most - least > STEADY_DB) return [];
    const differsDb = differences[differences.length >> 1];
    return Math.abs(differsDb) > DIFFERS_DB ? [{ toneHz, differsDb }] : [];
  });
}
