import type { TapMeasurement } from '../../model/measurement.ts';
import type { FeedTap } from '../../model/recommendation.ts';
import type { Programme } from '../../tones/track.ts';
import { measuredTogether } from '../chain/tap-level.ts';
import type { PlanContext } from '../plan-context.ts';
import { flooredDb, magnitudes, predictSum, type Spectrum } from './predict-sum.ts';

/** What taps give together at one setting, on one time origin. */
export interface SumOfTaps {
  /** One of each tap, in their order. */
  readonly measurements: readonly TapMeasurement[];
  readonly timeOrigin: string;
  readonly spectrum: (programme: Programme) => Spectrum;
  /** On the frequency grid. */
  readonly levelDb: (programme: Programme) => Float64Array;
}

/** The one prediction of a sum that plan, report and proof go by. Null where the taps were not recorded together at this setting. */
export function sumOfTaps(
  context: PlanContext,
  taps: readonly FeedTap[],
  setting: number | null,
): SumOfTaps | null {
  const tapIds = taps.map(({ tapId }) => tapId);
  const together = setting === null ? null : measuredTogether(context, tapIds, setting);
  if (together === null || !together.timed) return null;
  const { measurements } = together;
  const parts = measurements.map((measurement, i) => ({ measurement, tap: taps[i] }));
  const spectrum = (programme: Programme) => predictSum({ parts, programme });
  return {
    measurements,
    timeOrigin: measurements[0].timeOrigin,
    spectrum,
    levelDb: (programme) => flooredDb(magnitudes(spectrum(programme))),
  };
}
