import { clippedSineHarmonic, clippedSineLevelDb, clipRatioForThd } from '../../dsp/clip-distortion.ts';
import { decibels, ratioOf } from '../../dsp/decibels.ts';
import type { LadderStep } from '../../model/measurement.ts';
import type { Estimate } from '../bass/level-profile.ts';
import { ONSET_THD } from './clip-between-steps.ts';

/** At 1 % of distortion a hard clip has taken 0.035 dB, and its third harmonic is 0.7 % (a twentieth of that behind a low-pass). */
const VISIBLE_LOSS_DB = 0.02;
const VISIBLE_HARMONIC = 5e-4;
/** One harmonic's noise is Rayleigh distributed: it exceeds 3.5 times its own RMS once in 2 x 10^5. */
const OUT_OF_NOISE = 3.5;
/** A loss counts when it exceeds so many standard deviations, and is surely seen with two more. */
const SIGMAS = 4;
const SURE_SIGMAS = 6;
/** Overdrive that is looked at: more is never hidden from anyone. */
const MOST_OVERDRIVE_DB = 12;
const OVERDRIVE_STEP_DB = 0.05;

/** Whether a step is worth fitting: a harmonic out of its noise, or level lost. */
export function showsClipping(step: LadderStep, quietGain: Estimate): boolean {
  const lossDb = quietGain.value - (step.levelDbFs - step.driveDbFs);
  return (
    lossDb > VISIBLE_LOSS_DB + SIGMAS * lossSigmaDb(step, quietGain) ||
    Math.max(...step.harmonics) > harmonicFloor(step)
  );
}

/**
 * Highest drive of onset that the loudest step would surely have shown, in its level or its third harmonic; below the drive of
 * that step where noise hides a smaller excess.
 *
 * @param thirdGain of the tap's filters at the third harmonic against the tone; where a clip sits before them, so much is left
 */
export function clipSeenUpToDbFs(of: {
  loudest: LadderStep;
  quietGain: Estimate;
  thirdGain: number;
  highestHarmonic: number;
}): number {
  const { loudest, quietGain, highestHarmonic } = of;
  const lossDb = VISIBLE_LOSS_DB + SURE_SIGMAS * lossSigmaDb(loudest, quietGain);
  const third = harmonicFloor(loudest) / Math.min(1, of.thirdGain);
  const onsetDb = -decibels(clipRatioForThd({ thd: ONSET_THD, highestHarmonic }));
  let overdriveDb = onsetDb;
  while (overdriveDb < MOST_OVERDRIVE_DB && !isSeen(overdriveDb, { lossDb, third }))
    overdriveDb += OVERDRIVE_STEP_DB;
  return loudest.driveDbFs - (overdriveDb - onsetDb);
}

function isSeen(overdriveDb: number, floors: { lossDb: number; third: number }): boolean {
  const ratio = ratioOf(-overdriveDb);
  const third =
    Math.abs(clippedSineHarmonic({ ratio, harmonic: 3 })) / clippedSineHarmonic({ ratio, harmonic: 1 });
  return -clippedSineLevelDb(ratio) > floors.lossDb || third > floors.third;
}

function lossSigmaDb({ levelSigmaDb }: LadderStep, quietGain: Estimate): number {
  return Math.hypot(levelSigmaDb, quietGain.sigma);
}

function harmonicFloor({ harmonics, thdNoise }: LadderStep): number {
  return VISIBLE_HARMONIC + (OUT_OF_NOISE * thdNoise) / Math.sqrt(harmonics.length);
}
