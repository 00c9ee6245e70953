import { ratioOf } from '../../dsp/decibels.ts';
import { mean, median } from '../../dsp/statistics.ts';
import type { LadderMeasurement, LadderStep, TapMeasurement } from '../../model/measurement.ts';
import { hardClipThd } from '../clipping/clip-between-steps.ts';
import { levelVariance, quietGain, recordedSteps } from '../clipping/ladder.ts';

/** A tone that stops following its drive without the distortion of clipping. */
export interface LimiterFit {
  /** Drive from which on the level stops following, its standard deviation, and the level there. */
  readonly thresholdDriveDbFs: number;
  readonly thresholdSigmaDb: number;
  readonly thresholdLevelDbFs: number;
  /** Decibels lost at the highest drive that was used, and that drive. */
  readonly lossDb: number;
  readonly upToDriveDbFs: number;
}

/** A limiter is claimed when it takes this much, at the highest drive. */
const LEAST_LOSS_DB = 1;
const SIGNIFICANT = 5;
/** Distortion of a limiter stays below this part of a hard clip's with the same loss; fast ones make up to 1 % by themselves. */
const PART_OF_CLIP = 1 / 3;
const LIMITER_THD = 0.015;
/** Each step may be off the bent line by this: attack and release are not quite over within a step. */
const LINE_ERROR_DB = 0.05;
/** Hum beside the tone moves quiet steps: how much, the quietest of them tell from one to the next. */
const QUIETEST_STEPS = 8;
/** The misfit says how much of the allowed errors there was, down to this part of their squares: few steps may agree by chance. */
const LEAST_MISFIT = 0.1;
/** Steps of the ladder are no further apart than this. */
const LARGEST_STEP_DB = 2;
const SEARCH_STEP_DB = 0.25;
const FEWEST_STEPS = 6;
/** Only the beginning is a straight line: limiters of one band leave what their band split lets through. */
const FITTED_LOSS_DB = 2.5;
/** The threshold is read from the steps up to this part of the loss, and from at least this many that lose visibly. */
const BEGINNING_PART = 0.5;
const STEPS_THAT_LOSE = 3;
const VISIBLE_LOSS_DB = 0.1;

/**
 * Fits level = drive + gain, bent at a threshold above which each decibel of drive loses a fixed part (least squares).
 * Null where the level follows, or where what it loses comes with a clip's distortion.
 */
export function fitLimiter(measurement: TapMeasurement, ladder: LadderMeasurement): LimiterFit | null {
  const undistorted = withHum(undistortedSteps(recordedSteps(ladder, measurement), ladder));
  const steps = upToLoss(undistorted, FITTED_LOSS_DB);
  if (steps.length < FEWEST_STEPS || !isNoClip(undistorted, ladder)) return null;
  const top = steps[steps.length - 1].driveDbFs;
  const best = bestBend(steps);
  const lossDb = best.slope * (top - best.threshold);
  const lossSigma = best.slopeSigma * (top - best.threshold);
  if (best.slope <= 0 || lossDb < Math.max(LEAST_LOSS_DB, SIGNIFICANT * lossSigma)) return null;
  const early = bestBend(beginning(steps));
  const start = early.slope > 0 ? early : best;
  return {
    thresholdDriveDbFs: start.threshold,
    thresholdSigmaDb: start.thresholdSigma,
    thresholdLevelDbFs: start.threshold + start.gainDb,
    lossDb,
    upToDriveDbFs: top,
  };
}

/**
 * The steps with what a steady tone beside them moves them by: it is the same volts at every drive, so it counts the less the
 * louder the step is.
 */
function withHum(steps: readonly LadderStep[]): readonly LadderStep[] {
  const quiet = steps.slice(0, QUIETEST_STEPS);
  if (quiet.length < 2) return steps;
  const moves = quiet
    .slice(1)
    .map(
      ({ driveDbFs, levelDbFs }, i) =>
        Math.abs(levelDbFs - driveDbFs - (quiet[i].levelDbFs - quiet[i].driveDbFs)) * ratioOf(driveDbFs),
    );
  // Neighbours differ by the errors of both.
  const atFullScaleDb = median(moves) / Math.SQRT2;
  return steps.map((step) => ({
    ...step,
    levelSigmaDb: Math.hypot(step.levelSigmaDb, atFullScaleDb / ratioOf(step.driveDbFs)),
  }));
}

/** Loss of a tone against its quiet gain at a drive: mean of the steps around it, decibels; null where it was not recorded. */
export function lossAt(
  measurement: TapMeasurement,
  ladder: LadderMeasurement,
  driveDbFs: number,
): number | null {
  const steps = undistortedSteps(recordedSteps(ladder, measurement), ladder);
  const gain = quietGain(steps);
  const near = steps.filter((step) => Math.abs(step.driveDbFs - driveDbFs) <= 1);
  if (gain === null || near.length === 0) return null;
  return mean(near.map(({ driveDbFs: ownDb, levelDbFs }) => gain.value - (levelDbFs - ownDb)));
}

/** The bent line that fits best, over its threshold. */
function bestBend(steps: readonly LadderStep[]): Bend {
  const top = steps[steps.length - 1].driveDbFs;
  const bends: Bend[] = [];
  for (let threshold = steps[0].driveDbFs; threshold < top - 0.5; threshold += SEARCH_STEP_DB) {
    bends.push(fitBend(steps, threshold));
  }
  const coarse = bends.reduce((best, bend) => (bend.sumOfSquares < best.sumOfSquares ? bend : best));
  return [-0.2, -0.15, -0.1, -0.05, 0.05, 0.1, 0.15, 0.2]
    .map((offset) => fitBend(steps, coarse.threshold + offset))
    .reduce((one, other) => (other.sumOfSquares < one.sumOfSquares ? other : one), coarse);
}

/**
 * The steps up to half of what is lost in the end, but at least the first few that lose: a limiter of one band loses less and
 * less of each decibel, and a line through all of it bends 2 to 6 dB below the threshold.
 */
function beginning(steps: readonly LadderStep[]): readonly LadderStep[] {
  const gain = quietGain(steps);
  if (gain === null) return steps;
  const lossOf = ({ driveDbFs, levelDbFs }: LadderStep) => gain.value - (levelDbFs - driveDbFs);
  const last = steps.slice(-STEPS_THAT_LOSE);
  const finalLossDb = mean(last.map(lossOf));
  const first = steps.findIndex(
    (step) => lossOf(step) > VISIBLE_LOSS_DB + SIGNIFICANT * Math.hypot(step.levelSigmaDb, gain.sigma),
  );
  if (first < 0) return steps;
  return steps.slice(
    0,
    Math.max(first + STEPS_THAT_LOSE, upToLoss(steps, BEGINNING_PART * finalLossDb).length),
  );
}

function upToLoss(steps: readonly LadderStep[], mostDb: number): readonly LadderStep[] {
  const gain = quietGain(steps);
  const beyond = steps.findIndex(
    ({ driveDbFs, levelDbFs, levelSigmaDb }) =>
      gain !== null && gain.value - (levelDbFs - driveDbFs) > mostDb + SIGNIFICANT * levelSigmaDb,
  );
  return beyond < 0 ? steps : steps.slice(0, beyond);
}

/** The steps up to the first whose distortion is a clip's, read either as recorded or before the tap's filters. */
function undistortedSteps(steps: readonly LadderStep[], ladder: LadderMeasurement): readonly LadderStep[] {
  const gain = quietGain(steps);
  if (gain === null) return steps;
  const clipped = steps.findIndex((step) => {
    if (step.driveDbFs <= -26) return false;
    const lossDb = gain.value - (step.levelDbFs - step.driveDbFs);
    const allowed = Math.max(
      LIMITER_THD,
      PART_OF_CLIP * hardClipThd(Math.max(0, lossDb), ladder.highestHarmonic),
    );
    const noise = 2 * step.thdNoise;
    return distortionOf(step, lossDb, ladder) > allowed + noise;
  });
  return clipped < 0 ? steps : steps.slice(0, clipped);
}

/** Whether a clip that took the same level would have been seen at some step: else noise or filters hide which of the two it is. */
function isNoClip(steps: readonly LadderStep[], { highestHarmonic }: LadderMeasurement): boolean {
  const gain = quietGain(steps);
  if (gain === null) return false;
  return steps.some(({ driveDbFs, levelDbFs, thd, thdBeforeFilters, thdNoise }) => {
    const lossDb = gain.value - (levelDbFs - driveDbFs);
    if (lossDb < LEAST_LOSS_DB) return false;
    // What raises the harmonics to what they were before the filters raises their noise alike.
    const raised = thdBeforeFilters === null ? 1 : Math.max(1, thdBeforeFilters / (thd + 1e-9));
    const most = raised * (thd + 2 * thdNoise);
    return most < PART_OF_CLIP * hardClipThd(lossDb, highestHarmonic);
  });
}

/**
 * Of the two readings of distortion the one that is nearer to a hard clip's: before a low-pass a clip reads low as recorded,
 * behind a high-pass a limiter reads high.
 */
function distortionOf(step: LadderStep, lossDb: number, ladder: LadderMeasurement): number {
  if (step.thdBeforeFilters === null) return step.thd;
  const clip = hardClipThd(Math.max(0, lossDb), ladder.highestHarmonic);
  const far = (thd: number) => Math.abs(Math.log((thd + 1e-4) / (clip + 1e-4)));
  return far(step.thd) <= far(step.thdBeforeFilters) ? step.thd : step.thdBeforeFilters;
}

interface Bend {
  readonly threshold: number;
  readonly gainDb: number;
  /** Decibels lost for each decibel of drive above the threshold. */
  readonly slope: number;
  readonly slopeSigma: number;
  /** Standard deviation of the threshold with gain and slope free as well. */
  readonly thresholdSigma: number;
  readonly sumOfSquares: number;
}

/** Weighted least squares of gain and slope for one threshold. */
function fitBend(steps: readonly LadderStep[], threshold: number): Bend {
  let [w, wx, wxx, wy, wxy] = [0, 0, 0, 0, 0];
  const rows = steps.map(({ driveDbFs, levelDbFs, levelSigmaDb }) => ({
    x: Math.max(0, driveDbFs - threshold),
    y: levelDbFs - driveDbFs,
    weight: 1 / (levelVariance(levelSigmaDb) + LINE_ERROR_DB ** 2),
  }));
  for (const { x, y, weight } of rows) {
    w += weight;
    wx += weight * x;
    wxx += weight * x * x;
    wy += weight * y;
    wxy += weight * x * y;
  }
  const determinant = w * wxx - wx * wx;
  const slope = determinant > 0 ? -(w * wxy - wx * wy) / determinant : 0;
  const gainDb = (wy + slope * wx) / w;
  const sumOfSquares = rows.reduce(
    (sum, { x, y, weight }) => sum + weight * (y - gainDb + slope * x) ** 2,
    0,
  );
  const misfit = Math.sqrt(Math.max(LEAST_MISFIT, sumOfSquares / Math.max(1, rows.length - 3)));
  // Normal equations of gain, slope and threshold, whose derivatives are 1, -x and, over the threshold, the slope.
  const bent = slope * rows.reduce((sum, { x, weight }) => sum + (x > 0 ? weight : 0), 0);
  const whole =
    w * (wxx * slope * bent - (slope * wx) ** 2) -
    wx * (wx * slope * bent - slope * wx * bent) +
    bent * (slope * wx * wx - wxx * bent);
  return {
    threshold,
    gainDb,
    slope,
    slopeSigma: determinant > 0 ? Math.sqrt(w / determinant) : 0,
    // A bend that only the last step shows lies anywhere between it and the one before.
    thresholdSigma:
      whole > 0 ? Math.min(LARGEST_STEP_DB, misfit * Math.sqrt(determinant / whole)) : LARGEST_STEP_DB,
    sumOfSquares,
  };
}
