import { clippedSineLevelDb, clipRatioForThd } from '../dsp/clip-distortion.ts';
import { gridFrequencyHz, gridPosition } from '../model/frequency-grid.ts';
import { type NotMeasurable, notMeasurable } from '../model/measured.ts';
import type { LadderMeasurement, LadderStep, TapMeasurement } from '../model/measurement.ts';
import { type ClipOnset, ONSET_THD, onsetBetweenSteps } from './clip-between-steps.ts';
import { type ClipFit, fitClipPoint } from './clip-fit.ts';
import { quietGain, recordedSteps } from './ladder.ts';
import { type Estimate, type LevelProfile, strongestLevelDb } from './level-profile.ts';

/** A curve is believed while its normalised misfit stays below this. */
const BELIEVED_MISFIT = 2.5;
/** A curve must explain the steps better than no clipping by this: 5 standard deviations for two parameters. */
const PROVEN = 30;
/** Of that the harmonics alone must have this, or a limiter may have taken the level: 4 standard deviations. */
const PROVEN_BY_HARMONICS = 16;
/** A tone this far below the tap's strongest says nothing by its distortion: it is mostly other sounds. */
const TONE_TOO_FAR_DOWN_DB = 30;
/** A tone this far below what the sweep says of a tap is cancelled there: a derived channel. */
const CANCELLED_DB = 10;
/** At 1 % of distortion a hard clip has taken 0.035 dB, and its third harmonic is 0.7 % (a twentieth of that behind a low-pass). */
const VISIBLE_LOSS_DB = 0.02;
const VISIBLE_HARMONIC = 5e-4;
/** One harmonic's noise is Rayleigh distributed: it exceeds 3.5 times its own RMS once in 2 x 10^5. */
const OUT_OF_NOISE = 3.5;

/** What limits a tone at a tap. */
export interface ToneLimit {
  /** Drive and level at which it begins to clip, or why that cannot be seen. */
  readonly onset: ClipOnset | NotMeasurable;
  /** Drive from which on something holds its level that may be a clip; null where that is not in doubt. */
  readonly heldFromDriveDbFs: number | null;
}

interface ToneAtTap {
  readonly measurement: TapMeasurement;
  readonly ladder: LadderMeasurement;
  readonly profile: LevelProfile;
}

/** Where a tone begins to clip at a tap: only harmonics tell a clip from a limiter. */
export function clipOnset(of: ToneAtTap): ToneLimit {
  const found = onsetOf(of);
  if (!('heldFromDriveDbFs' in found)) return { onset: found, heldFromDriveDbFs: null };
  const from = `from ${found.heldFromDriveDbFs.toFixed(1)} dBFS of drive on the level stops following`;
  return {
    onset: notMeasurable(
      `${from}; noise or the tap’s filters hide whether a clip or a limiter holds it`,
      'the take again with less noise',
    ),
    ...found,
  };
}

function onsetOf(of: ToneAtTap): ClipOnset | NotMeasurable | { readonly heldFromDriveDbFs: number } {
  const { measurement, ladder, profile } = of;
  const steps = recordedSteps(ladder, measurement);
  const gain = quietGain(steps);
  if (gain === null) {
    return notMeasurable(
      'the recorder clipped at every step of this tone',
      'the take again with the recorder turned down',
    );
  }
  const toneDb = levelNear(profile, ladder.toneHz);
  if (toneDb < strongestLevelDb(profile) - TONE_TOO_FAR_DOWN_DB) {
    return notMeasurable('this tone is 30 dB or more down at this tap, so that its distortion means nothing');
  }
  if (gain.value < toneDb - CANCELLED_DB) {
    return notMeasurable('the tone plays on left and right alike, and this tap cancels it');
  }
  if (!steps.some((step) => showsClipping(step, gain))) return noneSeen({ steps, ladder });
  const harmonics = Array.from({ length: ladder.highestHarmonic - 1 }, (_, j) => j + 2);
  const behind = harmonics.map(
    (harmonic) => 10 ** ((levelNear(profile, harmonic * ladder.toneHz) - toneDb) / 20),
  );
  const fits = [
    { distortion: 'as recorded' as const, harmonicGains: harmonics.map(() => 1) },
    { distortion: 'before the filters' as const, harmonicGains: behind },
  ].flatMap(({ distortion, harmonicGains }) => {
    const fit = fitClipPoint({ steps, quietGainDb: gain.value, harmonicGains });
    return fit !== null && fit.misfit <= BELIEVED_MISFIT && fit.gainOverNone >= PROVEN
      ? [{ distortion, fit }]
      : [];
  });
  const proven = fits.filter(({ fit }) => fit.harmonicGainOverNone >= PROVEN_BY_HARMONICS);
  if (proven.length === 0 && fits.some(({ fit }) => fit.harmonicGainExpected < PROVEN_BY_HARMONICS)) {
    return { heldFromDriveDbFs: fits[0].fit.clipPointDb };
  }
  const [best] = proven.sort((one, other) => one.fit.misfit - other.fit.misfit);
  const onset = best === undefined ? null : onCurve({ ...best, ladder });
  const topDrive = steps[steps.length - 1].driveDbFs;
  if (onset !== null && onset.driveDbFs <= topDrive) return onset;
  return (
    (fits.length === 0 ? onsetBetweenSteps({ steps, quietGainDb: gain.value, ladder }) : null) ??
    noneSeen({ steps, ladder })
  );
}

/** Whether a step is worth fitting: a harmonic out of its noise, or level lost. */
function showsClipping(
  { driveDbFs, levelDbFs, levelSigmaDb, harmonics, thdNoise }: LadderStep,
  quietGain: Estimate,
): boolean {
  const lossDb = quietGain.value - (levelDbFs - driveDbFs);
  return (
    lossDb > VISIBLE_LOSS_DB + 4 * Math.hypot(levelSigmaDb, quietGain.sigma) ||
    Math.max(...harmonics) > VISIBLE_HARMONIC + (OUT_OF_NOISE * thdNoise) / Math.sqrt(harmonics.length)
  );
}

function onCurve(of: {
  fit: ClipFit;
  distortion: ClipOnset['distortion'];
  ladder: LadderMeasurement;
}): ClipOnset {
  const { fit, distortion, ladder } = of;
  const ratio = clipRatioForThd({ thd: ONSET_THD, highestHarmonic: ladder.highestHarmonic });
  const driveDbFs = fit.clipPointDb - 20 * Math.log10(ratio);
  return {
    driveDbFs,
    driveSigmaDb: fit.sigmaDb,
    levelDbFs: driveDbFs + fit.gainDb + clippedSineLevelDb(ratio),
    clipPointLevelDbFs: fit.clipPointDb + fit.gainDb,
    distortion,
  };
}

function noneSeen({
  steps,
  ladder,
}: {
  steps: readonly LadderStep[];
  ladder: LadderMeasurement;
}): NotMeasurable {
  const upTo = `none seen up to ${steps[steps.length - 1].driveDbFs.toFixed(1)} dBFS of drive`;
  if (steps.length < ladder.steps.length) {
    return notMeasurable(
      `${upTo}; above it the recorder itself clipped`,
      'the take again with the recorder turned down',
    );
  }
  return notMeasurable(upTo);
}

function levelNear(profile: LevelProfile, frequencyHz: number): number {
  const i = Math.min(gridFrequencyHz.length - 1, Math.max(0, Math.round(gridPosition(frequencyHz))));
  return profile.levelDb[i];
}
