import { isNotMeasurable, type NotMeasurable } from '../model/measured.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import { type Carries, carriedResponse } from './band/carried-response.ts';
import { type LevelProfile, levelProfile } from './bass/level-profile.ts';
import { type LinearLevels, linearLevels } from './bass/linear-levels.ts';
import { clipOnset } from './clipping/clip-onset.ts';
import { recordedSteps } from './clipping/ladder.ts';
import type { ToneOnset } from './clipping/tone-onset.ts';

/** One tap at one setting, with what several findings need worked out once. */
export interface TapTake {
  readonly measurement: TapMeasurement;
  readonly setting: number;
  readonly tones: readonly ToneOnset[];
  /** Levels free of limiting and clipping, or why there are none. */
  readonly linear: LinearLevels | NotMeasurable;
  /** The same where there are, the main sweep's as they are otherwise. */
  readonly profile: LevelProfile;
}

export function tapTake(
  measurement: TapMeasurement,
  carries: Carries,
  { heardInAir = false }: { heardInAir?: boolean } = {},
): TapTake {
  const main = levelProfile(carriedResponse(measurement, carries));
  const tones = measurement.ladders.flatMap((ladder): ToneOnset[] => {
    if (ladder.steps.length === 0) return [];
    const { toneHz, highestHarmonic } = ladder;
    const { onset, doubtfulFromDriveDbFs, cleanToTop } = clipOnset({ measurement, ladder, profile: main });
    const top = recordedSteps(ladder, measurement)
      .filter(({ driveDbFs }) => driveDbFs < (doubtfulFromDriveDbFs ?? Number.POSITIVE_INFINITY))
      .at(-1);
    const clean = isNotMeasurable(onset) ? top : onset;
    return [
      {
        toneHz,
        highestHarmonic,
        onset,
        cleanUpToDbFs: clean?.levelDbFs ?? Number.NEGATIVE_INFINITY,
        cleanUpToDriveDbFs: clean?.driveDbFs ?? Number.NEGATIVE_INFINITY,
        cleanToTop,
      },
    ];
  });
  const linear = linearLevels({ measurement, carries, main, tones, heardInAir });
  const profile = isNotMeasurable(linear) ? main : linear.profile;
  return { measurement, setting: measurement.setting, tones, linear, profile };
}
