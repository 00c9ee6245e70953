import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import { MID_BAND_HZ, measurementsOf, tapLevelDb } from '../chain/tap-level.ts';
import { indexRange } from '../feeds/flatness.ts';
import { endsBelowHz, findingsAbout, type PlanContext, roleOfTap } from '../plan-context.ts';

/** Bass that is missing at a setting against the plateau, on the frequency grid, decibels, never negative. */
export interface BassNeed {
  readonly setting: number;
  readonly neededDb: Float64Array;
}

/** Losses are worked out up to here (common practice: radios cut below 60 to 150 Hz). */
const HIGHEST_BASS_HZ = 250;
/** Below this the recordings are noise and coupling: what is needed at 25 Hz stands for all below. */
const LOWEST_BASS_HZ = 25;

/**
 * Boost that would bring the taps back to their plateau, at every setting at which all of them were recorded; the mean
 * of several taps. A tap without a mid band of its own is held against a full-range tap of the same setting.
 *
 * Null where there is no plateau or no reference to hold them against.
 */
export function bassNeed(context: PlanContext, tapIds: readonly string[]): BassNeed[] | null {
  const plateau = findingsAbout(context, 'bass-change', tapIds).find(
    ({ plateauSettings }) => plateauSettings.length > 0,
  )?.plateauSettings;
  if (plateau === undefined) return null;
  const ofTaps = tapIds.map((tapId) => needOfTap(context, tapId, plateau));
  if (ofTaps.some((need) => need === null)) return null;
  return context.session.settings.flatMap((setting) => {
    const here = ofTaps.map((need) => need!.get(setting));
    if (here.some((need) => need === undefined)) return [];
    return [{ setting, neededDb: here[0]!.map((_, i) => mean(here.map((need) => need![i]))) }];
  });
}

function needOfTap(
  context: PlanContext,
  tapId: string,
  plateau: readonly number[],
): Map<number, Float64Array> | null {
  const relative = new Map<number, Float64Array>();
  for (const setting of context.session.settings) {
    const measurement = measurementsOf(context, tapId, setting)[0];
    const referenceDb = measurement === undefined ? null : referenceLevelDb(context, measurement);
    if (referenceDb !== null)
      relative.set(
        setting,
        tapLevelDb(measurement).map((db) => db - referenceDb),
      );
  }
  const onPlateau = plateau.flatMap((setting) => relative.get(setting) ?? []);
  if (onPlateau.length === 0) return null;
  const flat = gridFrequencyHz.map((_, i) => mean(onPlateau.map((db) => db[i])));
  const { first, last } = indexRange([LOWEST_BASS_HZ, HIGHEST_BASS_HZ]);
  return new Map(
    [...relative].map(([setting, db]) => [
      setting,
      db.map((_, i) => (i > last ? 0 : Math.max(0, flat[Math.max(first, i)] - db[Math.max(first, i)]))),
    ]),
  );
}

/** Mean decibels of the mid band: of the tap itself, or of another tap that was in the same take. */
function referenceLevelDb(context: PlanContext, measurement: TapMeasurement): number | null {
  const role = roleOfTap(context, measurement.tapId);
  if (!endsBelowHz(role, MID_BAND_HZ[1])) return midLevelDb(measurement);
  const other = context.measurements.find(
    (item) =>
      item.setting === measurement.setting &&
      item.timeOrigin === measurement.timeOrigin &&
      roleOfTap(context, item.tapId).band?.verdict === 'full range',
  );
  return other === undefined ? null : midLevelDb(other);
}

function midLevelDb(measurement: TapMeasurement): number {
  const { first, last } = indexRange(MID_BAND_HZ);
  return mean(Array.from(tapLevelDb(measurement).subarray(first, last + 1)));
}

function mean(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0) / values.length;
}
