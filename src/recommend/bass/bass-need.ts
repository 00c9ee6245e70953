import { mean } from '../../dsp/statistics.ts';
import { gridFrequencyHz, gridSpan } from '../../model/frequency-grid.ts';
import { measurementsOf, tapLevelDb } from '../chain/tap-level.ts';
import { findingsAbout, type PlanContext } from '../plan-context.ts';
import { isDoubted } from '../undoubted.ts';
import { referenceLevelDb } from './reference-level.ts';

/** Bass that is missing at a setting against the reference settings, on the frequency grid, decibels, never negative. */
export interface BassNeed {
  readonly setting: number;
  readonly neededDb: Float64Array;
}

export interface BassNeeds {
  /** At every setting at which all the taps were recorded, ascending. */
  readonly perSetting: readonly BassNeed[];
  /** True where no plateau was recorded: the loss began below or between the settings that are there, so it is no less than this. */
  readonly atLeast: boolean;
  /** The lowest setting that all of the taps are held against. */
  readonly fromSetting: number;
}

/**
 * Losses are worked out up to 250 Hz (common practice: radios cut below 60 to 150 Hz). Below 25 Hz the recordings are noise and
 * coupling: what is needed there stands for all below.
 */
export const BOOSTED_HZ = [25, 250] as const;

/**
 * Boost that would bring the taps back to their plateau, or, where none was recorded but a loss was found, to the lowest
 * setting; the mean of several taps. A tap without a mid band of its own is held against another's.
 *
 * Null where there is nothing to hold them against.
 */
export function bassNeed(context: PlanContext, tapIds: readonly string[]): BassNeeds | null {
  const ofTaps = tapIds.map((tapId) => needOfTap(context, tapId, tapIds));
  if (ofTaps.some((need) => need === null)) return null;
  const perSetting = context.session.settings.flatMap((setting) => {
    const here = ofTaps.map((need) => need!.perSetting.get(setting));
    if (here.some((need) => need === undefined)) return [];
    return [{ setting, neededDb: here[0]!.map((_, i) => mean(here.map((need) => need![i]))) }];
  });
  if (perSetting.length === 0) return null;
  return {
    perSetting,
    atLeast: ofTaps.some((need) => need!.atLeast),
    fromSetting: Math.max(...ofTaps.map((need) => need!.fromSetting)),
  };
}

function needOfTap(
  context: PlanContext,
  tapId: string,
  together: readonly string[],
): { perSetting: ReadonlyMap<number, Float64Array>; atLeast: boolean; fromSetting: number } | null {
  const levels = againstMiddle(context, tapId);
  const plateau = plateauOf(context, [tapId]) ?? plateauOf(context, together);
  const reference = plateau ?? lowestOf(context, [tapId]) ?? lowestOf(context, together);
  const onReference = levels.filter(({ setting }) => reference?.includes(setting));
  if (onReference.length === 0) return null;
  const flat = gridFrequencyHz.map((_, i) => mean(onReference.map(({ levelDb }) => levelDb[i])));
  const { first, last } = gridSpan(BOOSTED_HZ);
  const needed = (levelDb: Float64Array) =>
    levelDb.map((_, i) => {
      const at = Math.max(first, i);
      return i > last ? 0 : Math.max(0, flat[at] - levelDb[at]);
    });
  return {
    perSetting: new Map(levels.map(({ setting, levelDb }) => [setting, needed(levelDb)])),
    atLeast: plateau === null,
    fromSetting: onReference[0].setting,
  };
}

function plateauOf(context: PlanContext, tapIds: readonly string[]): readonly number[] | null {
  const found = findingsAbout(context, 'bass-change', tapIds).find(
    ({ plateauSettings }) => plateauSettings.length > 0,
  );
  return found?.plateauSettings ?? null;
}

/** What a loss that is told as 'at least' is held against: whether there is one, the finding alone decides. */
function lowestOf(context: PlanContext, tapIds: readonly string[]): readonly number[] | null {
  const found = findingsAbout(context, 'bass-change', tapIds).find(({ atLeast }) => atLeast !== undefined);
  return found?.atLeast === undefined ? null : [found.atLeast.fromSetting];
}

interface LevelAgainstMiddle {
  readonly setting: number;
  /** On the frequency grid, against the mid band of the same setting. */
  readonly levelDb: Float64Array;
}

/** Level of a tap at each setting against the mid band of that setting, so that the volume is taken out. */
function againstMiddle(context: PlanContext, tapId: string): LevelAgainstMiddle[] {
  return context.session.settings.flatMap((setting) => {
    const measurement = measurementsOf(context, tapId, setting).find(
      (one) => !isDoubted(one, context.doubts ?? []),
    );
    const referenceDb = measurement === undefined ? null : referenceLevelDb(context, measurement);
    if (measurement === undefined || referenceDb === null) return [];
    return [{ setting, levelDb: tapLevelDb(measurement).map((db) => db - referenceDb) }];
  });
}
