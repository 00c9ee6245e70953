import { mean } from '../../dsp/statistics.ts';
import { gridSpan, MIDDLE_HZ } from '../../model/frequency-grid.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import { tapLevelDb } from '../chain/tap-level.ts';
import { endsBelowHz, findingsAbout, type PlanContext, roleOfTap, type TapRole } from '../plan-context.ts';

/**
 * Mean decibels of the mid band at the setting of a measurement: of the tap itself; where it ends below, of another tap
 * that has one, in the same take first, else by that tap's volume law. Null where no tap tells.
 */
export function referenceLevelDb(context: PlanContext, measurement: TapMeasurement): number | null {
  if (!endsBelowHz(roleOfTap(context, measurement.tapId), MIDDLE_HZ[1])) return midLevelDb(measurement);
  const others = context.taps.filter(hasMidBand).map(({ tapId }) => tapId);
  const beside = context.measurements.filter(
    ({ tapId, setting }) => setting === measurement.setting && others.includes(tapId),
  );
  const inTheTake = beside.find(({ timeOrigin }) => timeOrigin === measurement.timeOrigin);
  if (inTheTake !== undefined) return midLevelDb(inTheTake);
  for (const law of findingsAbout(context, 'volume-law', others)) {
    const level = law.levels.find(({ setting }) => setting === measurement.setting);
    if (level !== undefined && law.followsVolume) return level.levelDbFs;
  }
  return null;
}

/** Carries the middle, wherever it ends above and below it: its bass is not asked for. */
function hasMidBand({ band, output, unfit }: TapRole): boolean {
  if (output === 'subwoofer' || unfit) return false;
  const edgeHz = (edge: NonNullable<TapRole['band']>['lowEdge'] | undefined) =>
    edge != null && 'value' in edge.minus6Hz ? edge.minus6Hz.value : null;
  const [low, high] = [edgeHz(band?.lowEdge), edgeHz(band?.highEdge)];
  return (low ?? 0) < MIDDLE_HZ[0] && (high ?? Number.POSITIVE_INFINITY) > MIDDLE_HZ[1] / 2;
}

function midLevelDb(measurement: TapMeasurement): number {
  const { first, last } = gridSpan(MIDDLE_HZ);
  const levels = tapLevelDb(measurement).subarray(first, last + 1);
  return mean(levels);
}
