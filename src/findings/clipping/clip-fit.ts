import { clippedSineHarmonic, clippedSineLevelDb } from '../../dsp/clip-distortion.ts';
import { ratioOf } from '../../dsp/decibels.ts';
import type { LadderStep } from '../../model/measurement.ts';
import { levelVariance } from './ladder.ts';

/** The hard-clip curve that fits the steps of a tone best. */
export interface ClipFit {
  /** Drive at which the tone's peak meets the limit, and its standard deviation. */
  readonly clipPointDb: number;
  readonly sigmaDb: number;
  /** Level over drive where nothing clips, decibels. */
  readonly gainDb: number;
  /** Root mean square of the normalised misfit of the steps near and over the limit; about 1 where the model holds. */
  readonly misfit: number;
  /** How much better the curve explains the steps than no clipping does, difference of the sums of squares. */
  readonly gainOverNone: number;
  /** What the harmonics alone have of that: negative where they are missing, as behind a limiter. */
  readonly harmonicGainOverNone: number;
  /** What they would have if they were as the curve says: how well they can tell a clip from a limiter at all. */
  readonly harmonicGainExpected: number;
}

interface ClipSteps {
  readonly steps: readonly LadderStep[];
  readonly quietGainDb: number;
  /** Gain of what follows the clipping stage at harmonics 2, 3, ... against the tone's own, ratios. */
  readonly harmonicGains: readonly number[];
}

/** Only steps that lost less than this are fitted: farther over the limit a second stage may clip too. */
const MOST_LOSS_DB = 1.2;
/** A sine that lost this little is at most this far over its clip point (closed form: 2.4 dB), with room for noise. */
const MOST_OVERDRIVE_DB = 4;
/** What a harmonic may be off by beside noise: a ratio of itself, and absolute. */
const HARMONIC_SCALE_ERROR = 0.03;
const HARMONIC_FLOOR_ERROR = 1e-4;
const LEVEL_ERROR_DB = 0.01;
/** Readings cut off at zero know less than least squares believes: 1.2 times at 20 to 40 dB (tests/findings/clipping.test.ts). */
const CUT_OFF_SHARE = 1.2;
const SEARCH_STEP_DB = 0.1;
const OFFSET_DB = 0.02;
/** Drive below the clip point up to which steps count as near it. */
const NEAR_DB = 2;
/** The curve is looked for up to this far above the highest step. */
const OVERSHOOT_DB = 0.3;

/**
 * Least squares of every harmonic and of the fundamental's loss against the closed form of a clipped sine, over the
 * drive of the clip point. Null where there are fewer than three steps.
 */
export function fitClipPoint({ steps, quietGainDb, harmonicGains }: ClipSteps): ClipFit | null {
  const used = beforeDeepClipping(steps, quietGainDb);
  if (used.length < 3) return null;
  const prepared = used.map((step) => preparedStep(step, harmonicGains.length));
  const at = (clipPointDb: number) => misfitAt({ steps: prepared, clipPointDb, harmonicGains });
  const cost = (clipPointDb: number) => at(clipPointDb).sum;
  const topDrive = used[used.length - 1].driveDbFs;
  const clipPointDb = lowestPoint(cost, { from: topDrive - MOST_OVERDRIVE_DB, to: topDrive + OVERSHOOT_DB });
  const { sum: lowest, perStep, gainDb } = at(clipPointDb);
  const curvature =
    (cost(clipPointDb + OFFSET_DB) - 2 * lowest + cost(clipPointDb - OFFSET_DB)) / OFFSET_DB ** 2;
  const near = perStep.filter((_, i) => used[i].driveDbFs > clipPointDb - NEAR_DB);
  const nearSum = near.reduce((sum, value) => sum + value, 0);
  const misfit = Math.sqrt(nearSum / Math.max(1, near.length * (harmonicGains.length + 1) - 1));
  return {
    clipPointDb,
    gainDb,
    // The misfit itself says how much of the allowed errors there really was.
    sigmaDb: Math.sqrt(2 / Math.max(curvature, 1e-6)) * CUT_OFF_SHARE * misfit,
    misfit,
    gainOverNone: cost(topDrive + 1) - lowest,
    ...harmonicEvidence({ steps: prepared, clipPointDb, harmonicGains }),
  };
}

/** A step with what does not depend on the clip point that is tried: hundreds are, for every tone of every take. */
interface PreparedStep {
  readonly step: LadderStep;
  readonly levelWeight: number;
  /** What each harmonic may be off by. */
  readonly errors: readonly number[];
  /** `harmonicSquares` where nothing clips. */
  readonly unclippedSquares: number;
}

function preparedStep(step: LadderStep, harmonicCount: number): PreparedStep {
  // Noise of one harmonic: the whole noise shared out, and halved because only one part of it is in line.
  const noise = step.thdNoise / Math.sqrt(2 * harmonicCount);
  const errors = Array.from({ length: harmonicCount }, (_, j) => {
    const read = step.harmonics[j] ?? 0;
    // A reading has its noise power subtracted and is cut off at zero: small ones scatter like their noise itself.
    return Math.hypot(noise * (read > noise ? 1 : 2), HARMONIC_SCALE_ERROR * read, HARMONIC_FLOOR_ERROR);
  });
  return {
    step,
    levelWeight: 1 / (levelVariance(step.levelSigmaDb) + LEVEL_ERROR_DB ** 2),
    errors,
    unclippedSquares: errors.reduce((sum, error, j) => sum + ((step.harmonics[j] ?? 0) / error) ** 2, 0),
  };
}

/** Level tells that something holds the tone back; only harmonics tell that it is a clip. */
function harmonicEvidence(of: {
  steps: readonly PreparedStep[];
  clipPointDb: number;
  harmonicGains: readonly number[];
}): Pick<ClipFit, 'harmonicGainOverNone' | 'harmonicGainExpected'> {
  const { steps, clipPointDb, harmonicGains } = of;
  let [overNone, expected] = [0, 0];
  for (const prepared of steps) {
    const ratio = clipRatio(prepared.step, clipPointDb);
    if (ratio === 1) continue;
    const harmonics = harmonicGains.map((gain, j) => expectedHarmonic({ gain, harmonic: j + 2, ratio }));
    overNone += prepared.unclippedSquares - harmonicSquares({ prepared, ratio, harmonicGains });
    expected += preparedStep({ ...prepared.step, harmonics }, harmonics.length).unclippedSquares;
  }
  return { harmonicGainOverNone: overNone, harmonicGainExpected: expected };
}

function beforeDeepClipping(steps: readonly LadderStep[], quietGainDb: number): readonly LadderStep[] {
  const deep = steps.findIndex(
    ({ driveDbFs, levelDbFs, levelSigmaDb }) =>
      quietGainDb - (levelDbFs - driveDbFs) > MOST_LOSS_DB + 5 * levelSigmaDb,
  );
  return deep < 0 ? steps : steps.slice(0, deep);
}

/** Squares of the normalised errors for one clip point; the tone's gain is the weighted mean that fits best with it. */
function misfitAt(of: {
  steps: readonly PreparedStep[];
  clipPointDb: number;
  harmonicGains: readonly number[];
}): {
  sum: number;
  perStep: readonly number[];
  gainDb: number;
} {
  const { steps, clipPointDb, harmonicGains } = of;
  const ratios = steps.map(({ step }) => clipRatio(step, clipPointDb));
  const gains = steps.map(
    ({ step }, i) => step.levelDbFs - step.driveDbFs - (ratios[i] === 1 ? 0 : clippedSineLevelDb(ratios[i])),
  );
  const gainDb =
    gains.reduce((sum, gain, i) => sum + steps[i].levelWeight * gain, 0) /
    steps.reduce((sum, { levelWeight }) => sum + levelWeight, 0);
  const perStep = steps.map(
    (prepared, i) =>
      prepared.levelWeight * (gains[i] - gainDb) ** 2 +
      harmonicSquares({ prepared, ratio: ratios[i], harmonicGains }),
  );
  return { sum: perStep.reduce((sum, value) => sum + value, 0), perStep, gainDb };
}

function clipRatio({ driveDbFs }: LadderStep, clipPointDb: number): number {
  return Math.min(1, ratioOf(clipPointDb - driveDbFs));
}

function harmonicSquares(of: {
  prepared: PreparedStep;
  ratio: number;
  harmonicGains: readonly number[];
}): number {
  const { prepared, ratio, harmonicGains } = of;
  const { step, errors, unclippedSquares } = prepared;
  if (ratio === 1) return unclippedSquares;
  let sum = 0;
  for (let j = 0; j < errors.length; j++) {
    const value = expectedHarmonic({ gain: harmonicGains[j], harmonic: j + 2, ratio });
    sum += (((step.harmonics[j] ?? 0) - value) / errors[j]) ** 2;
  }
  return sum;
}

/** A harmonic of a clipped sine against its fundamental, behind what follows the clipping stage. */
function expectedHarmonic({
  gain,
  harmonic,
  ratio,
}: {
  gain: number;
  harmonic: number;
  ratio: number;
}): number {
  const fundamental = clippedSineHarmonic({ ratio, harmonic: 1 });
  return gain * (Math.abs(clippedSineHarmonic({ ratio, harmonic })) / fundamental);
}

/** Lowest point of a function with one valley: a coarse walk, then golden-section search. */
function lowestPoint(cost: (x: number) => number, { from, to }: { from: number; to: number }): number {
  let best = from;
  let lowest = cost(from);
  for (let x = from + SEARCH_STEP_DB; x <= to; x += SEARCH_STEP_DB) {
    const here = cost(x);
    if (here < lowest) {
      lowest = here;
      best = x;
    }
  }
  const golden = (Math.sqrt(5) - 1) / 2;
  let [low, high] = [best - SEARCH_STEP_DB, best + SEARCH_STEP_DB];
  while (high - low > 1e-5) {
    const [left, right] = [high - golden * (high - low), low + golden * (high - low)];
    if (cost(left) < cost(right)) high = right;
    else low = left;
  }
  return (low + high) / 2;
}
