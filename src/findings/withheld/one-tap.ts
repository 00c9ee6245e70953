import { MIDDLE_HZ } from '../../model/frequency-grid.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import type { Tap } from '../../model/session.ts';
import { findRouting } from '../arrival/routing.ts';
import { carriedResponse } from '../band/carried-response.ts';
import { levelProfile, meanLevel, trustedPoints } from '../bass/level-profile.ts';

/** One tap over its settings, ascending, with what it carries. */
export interface OneTap {
  readonly tap: Tap;
  readonly takes: readonly {
    readonly setting: number;
    readonly timeOrigin: string;
    readonly response: FrequencyResponse;
    /** Left = right at the lower drive; null for the response-only track. */
    readonly lowDrive: FrequencyResponse | null;
  }[];
}

export function oneTap(tap: Tap, measurements: readonly TapMeasurement[]): OneTap {
  const { carries } = findRouting({ tap, measurements });
  const takes = measurements
    .map((one) => ({
      setting: one.setting,
      timeOrigin: one.timeOrigin,
      response: carriedResponse(one, carries),
      lowDrive: one.bothLowDrive,
    }))
    .filter(({ response }) => response.trustedHz !== null);
  return { tap, takes };
}

/** Level of the middle that a tap carries; null where it carries none. */
export function middleOf({ setting, response }: OneTap['takes'][number]): {
  setting: number;
  levelDb: number | null;
} {
  const profile = levelProfile(response);
  const points = trustedPoints(profile, MIDDLE_HZ);
  return { setting, levelDb: points.length === 0 ? null : meanLevel(profile, points).value };
}
