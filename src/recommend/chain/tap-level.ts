import { ratioOf } from '../../dsp/decibels.ts';
import { gridSpan, MIDDLE_HZ, type RangeHz } from '../../model/frequency-grid.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { FeedTap } from '../../model/recommendation.ts';
import { middleLevelDb } from '../feeds/flatness.ts';
import {
  flooredDb,
  magnitudes,
  predictSum,
  programmeSpectrum,
  sharesTimeOrigin,
} from '../feeds/predict-sum.ts';
import { findingsAbout, type PlanContext, roleOfTap } from '../plan-context.ts';

/** All that is heard (common practice). */
const WHOLE_BAND_HZ: RangeHz = [20, 20_000];

export function measurementsOf(context: PlanContext, tapId: string, setting: number): TapMeasurement[] {
  return context.measurements.filter((item) => item.tapId === tapId && item.setting === setting);
}

/** One measurement of each tap at one setting, from one time origin where there is such a set. */
export function measuredTogether(
  context: PlanContext,
  tapIds: readonly string[],
  setting: number,
): { measurements: readonly TapMeasurement[]; timed: boolean } | null {
  const ofTaps = tapIds.map((tapId) => measurementsOf(context, tapId, setting));
  if (ofTaps.some((list) => list.length === 0)) return null;
  for (const { timeOrigin } of ofTaps[0]) {
    const together = ofTaps.map((list) => list.find((item) => item.timeOrigin === timeOrigin));
    if (together.every((item) => item !== undefined)) return { measurements: together, timed: true };
  }
  const measurements = ofTaps.map(([first]) => first);
  return { measurements, timed: sharesTimeOrigin(measurements) };
}

/** Level of a tap for programme on both sides alike, decibels on the grid, full-scale units. */
export function tapLevelDb(measurement: TapMeasurement): Float64Array {
  const known = levelsOf.get(measurement) ?? flooredDb(magnitudes(programmeSpectrum(measurement, 'both')));
  levelsOf.set(measurement, known);
  return known;
}

/** Asked for over and over while feeds are compared; the measurements do not change. */
const levelsOf = new WeakMap<TapMeasurement, Float64Array>();

/** Middle of 300 Hz to 3 kHz, or of the tap's own band where it ends below. */
export function ownMiddleDb(context: PlanContext, measurement: TapMeasurement): number {
  const role = roleOfTap(context, measurement.tapId);
  const edge = role.band?.highEdge?.minus6Hz;
  const lowEdge = role.band?.lowEdge?.minus6Hz;
  const endsInside = edge !== undefined && 'value' in edge && edge.value < MIDDLE_HZ[1];
  const startsInside = lowEdge !== undefined && 'value' in lowEdge && lowEdge.value > MIDDLE_HZ[0];
  const band = endsInside || startsInside || role.output === 'subwoofer' ? WHOLE_BAND_HZ : MIDDLE_HZ;
  return middleLevelDb(tapLevelDb(measurement), gridSpan(band));
}

/** How loud a tap is at a setting against another setting, by the volume law that was found; null where it is not known. */
export function lawDifferenceDb(
  context: PlanContext,
  tapId: string,
  { from, to }: { from: number; to: number },
): number | null {
  const law = findingsAbout(context, 'volume-law', [tapId])[0];
  const at = (setting: number) => law?.levels.find((level) => level.setting === setting)?.levelDbFs;
  const [fromDb, toDb] = [at(from), at(to)];
  if (fromDb !== undefined && toDb !== undefined) return toDb - fromDb;
  return law?.dbPerStep == null ? null : law.dbPerStep * (to - from);
}

export interface FeedLevel {
  /** RMS volts, or full-scale units, for a 0 dBFS sine on both sides alike; on the frequency grid. */
  readonly level: Float64Array;
  readonly inVolts: boolean;
  /** Twice the standard deviation, relative (0.02 is 2 %). */
  readonly relativePlusMinus: number;
}

/**
 * What a feed carries at a setting, as the level of one tap: a feed with taps of both sides is halved, so that the gain
 * from a tap to an output does not depend on how many sides are joined.
 *
 * Null where one of the taps was never recorded. Where it was not recorded at this setting, the nearest one below is
 * scaled by the volume law. Without common timing the strongest tap stands for the feed at each frequency.
 */
export function feedLevel(context: PlanContext, taps: readonly FeedTap[], setting: number): FeedLevel | null {
  const tapIds = taps.map(({ tapId }) => tapId);
  const nearest = nearestRecorded(context, tapIds, setting);
  if (nearest === null) return null;
  const { measurements, timed } = measuredTogether(context, tapIds, nearest)!;
  const scale =
    nearest === setting
      ? 1
      : ratioOf(lawDifferenceDb(context, tapIds[0], { from: nearest, to: setting }) ?? 0);
  const parts = measurements.map((measurement, i) => ({ measurement, tap: taps[i] }));
  const bothSides = bothSidesJoined(context, tapIds) ? 0.5 : 1;
  const sum = timed
    ? magnitudes(predictSum({ parts, programme: 'both' }))
    : strongest(parts.map((part) => magnitudes(predictSum({ parts: [part], programme: 'both' }))));
  const inVolts =
    context.voltsWithheld === null && measurements.every((item) => item.voltsPerFullScale !== null);
  const relativePlusMinus = Math.max(
    0,
    ...measurements.map((item) => item.voltsPerFullScale?.relativeUncertainty ?? 0),
  );
  const factor = scale * (timed ? bothSides : 1);
  return { level: sum.map((value) => value * factor), inVolts, relativePlusMinus };
}

/** Of settings at which every tap was recorded: the nearest at or below, else the lowest. */
export function nearestRecorded(
  context: PlanContext,
  tapIds: readonly string[],
  setting: number,
): number | null {
  const common = context.session.settings.filter((candidate) =>
    tapIds.every((tapId) => measurementsOf(context, tapId, candidate).length > 0),
  );
  return common.findLast((candidate) => candidate <= setting) ?? common[0] ?? null;
}

/** Whether outputs of both sides go into one feed. */
export function bothSidesJoined(context: PlanContext, tapIds: readonly string[]): boolean {
  const sides = tapIds.map((tapId) => roleOfTap(context, tapId).side);
  return sides.includes('left') && sides.includes('right');
}

function strongest(levels: readonly Float64Array[]): Float64Array {
  return levels[0].map((_, i) => Math.max(...levels.map((level) => level[i])));
}
