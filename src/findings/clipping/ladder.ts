import type { LadderMeasurement, LadderStep, TapMeasurement } from '../../model/measurement.ts';
import type { Estimate } from '../bass/level-profile.ts';

/** Gain is read at and below this drive: radios neither clip nor limit there, and eight steps tame the noise. */
const QUIET_DRIVE_DB_FS = -26;
/** A step whose peak comes this close to the recorder's own limit, in a take where that limit was hit, is spoilt. */
const RECORDER_LIMIT_DB = 0.02;
/** Slow wander of real levels that the residual beside the harmonics does not see. */
const LEVEL_FLOOR_DB = 0.003;

/** The steps, ascending, up to the first that the recorder itself clipped. */
export function recordedSteps(
  ladder: LadderMeasurement,
  { recorder }: TapMeasurement,
): readonly LadderStep[] {
  if (recorder.clippedRuns === 0) return ladder.steps;
  const limitDbFs = Math.min(0, recorder.peakDbFs) - RECORDER_LIMIT_DB;
  const spoilt = ladder.steps.findIndex(({ peakDbFs }) => peakDbFs >= limitDbFs);
  return spoilt < 0 ? ladder.steps : ladder.steps.slice(0, spoilt);
}

/** Level over drive where the drive is low, decibels: weighted mean over the quiet steps; null where there are none. */
export function quietGain(steps: readonly LadderStep[]): Estimate | null {
  return meanGain(steps.filter(({ driveDbFs }) => driveDbFs <= QUIET_DRIVE_DB_FS));
}

/** Weighted mean of level over drive; null for no steps. */
export function meanGain(steps: readonly LadderStep[]): Estimate | null {
  if (steps.length === 0) return null;
  let [weights, sum] = [0, 0];
  for (const { driveDbFs, levelDbFs, levelSigmaDb } of steps) {
    const weight = 1 / levelVariance(levelSigmaDb);
    weights += weight;
    sum += weight * (levelDbFs - driveDbFs);
  }
  return { value: sum / weights, sigma: Math.sqrt(1 / weights) };
}

export function levelVariance(levelSigmaDb: number): number {
  return levelSigmaDb ** 2 + LEVEL_FLOOR_DB ** 2;
}
