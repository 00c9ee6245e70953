import { clippedSineLevelDb, clipRatioForThd } from '../../dsp/clip-distortion.ts';
import { decibels, ratioOf } from '../../dsp/decibels.ts';
import { TONE_TOO_FAR_DOWN_DB } from '../../measure/ladders/ladder.ts';
import { nearestPoint } from '../../model/frequency-grid.ts';
import { type NotMeasurable, notMeasurable } from '../../model/measured.ts';
import type { LadderMeasurement, LadderStep, TapMeasurement } from '../../model/measurement.ts';
import { isTrusted } from '../../model/response.ts';
import { type Estimate, type LevelProfile, strongestLevelDb } from '../bass/level-profile.ts';
import { type ClipOnset, firstDistorted, ONSET_THD, onsetBetweenSteps } from './clip-between-steps.ts';
import { type ClipFit, fitClipPoint } from './clip-fit.ts';
import { quietGain, recordedSteps } from './ladder.ts';
import { clipSeenUpToDbFs, showsClipping } from './visible-clip.ts';

/** A curve is believed while its normalised misfit stays below this. */
const BELIEVED_MISFIT = 2.5;
/** A curve must explain the steps better than no clipping by this: 5 standard deviations for two parameters. */
const PROVEN = 30;
/** Of that the harmonics alone must have this, or a limiter may have taken the level: 4 standard deviations. */
const PROVEN_BY_HARMONICS = 16;
/** A tone this far below what the sweep says of a tap is cancelled there: a derived channel. */
const CANCELLED_DB = 10;
/** Drives this close to the loudest step's are its own. */
const SAME_DRIVE_DB = 0.05;

/** What limits a tone at a tap. */
interface ToneLimit {
  /** Drive and level at which it begins to clip, or why that cannot be seen. */
  readonly onset: ClipOnset | NotMeasurable;
  /** Drive from which on something holds its level that may be a clip, or noise would hide one; null where neither is. */
  readonly doubtfulFromDriveDbFs: number | null;
  /** It does not clip up to the loudest step of the track, and nothing would have hidden it. */
  readonly cleanToTop: boolean;
}

interface ToneAtTap {
  readonly measurement: TapMeasurement;
  readonly ladder: LadderMeasurement;
  readonly profile: LevelProfile;
}

/** Where a tone begins to clip at a tap: only harmonics tell a clip from a limiter. */
export function clipOnset(of: ToneAtTap): ToneLimit {
  const found = onsetOf(of);
  return 'onset' in found ? found : { onset: found, doubtfulFromDriveDbFs: null, cleanToTop: false };
}

function onsetOf(of: ToneAtTap): ClipOnset | NotMeasurable | ToneLimit {
  const { measurement, ladder, profile } = of;
  const steps = recordedSteps(ladder, measurement);
  const gain = quietGain(steps);
  if (gain === null) {
    return measurement.recorder.clippedRuns > 0
      ? notMeasurable(
          { code: 'recorder clipped at every step' },
          { code: 'record with the recorder turned down' },
        )
      : notMeasurable(
          { code: 'other sounds cover the quiet steps' },
          { code: 'record without other sounds' },
        );
  }
  const toneDb = levelNear(profile, ladder.toneHz);
  if (toneDb < strongestLevelDb(profile) - TONE_TOO_FAR_DOWN_DB) {
    return notMeasurable({ code: 'tone far down at this tap' });
  }
  if (gain.value < toneDb - CANCELLED_DB) {
    return notMeasurable({ code: 'tone cancelled at this tap' });
  }
  const harmonics = Array.from({ length: ladder.highestHarmonic - 1 }, (_, j) => j + 2);
  // A harmonic that the tap passes below its noise shows nothing of a clip before its filters.
  const behind = harmonics.map((harmonic) =>
    isTrusted(profile, harmonic * ladder.toneHz)
      ? ratioOf(levelNear(profile, harmonic * ladder.toneHz) - toneDb)
      : 0,
  );
  const none = () => noneSeen({ steps, ladder, quietGain: gain, thirdGain: behind[1] ?? 0 });
  if (!steps.some((step) => showsClipping(step, gain))) return none();
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
    return clipOrLimiterFrom(fits[0].fit.clipPointDb);
  }
  const [best] = proven.sort((one, other) => one.fit.misfit - other.fit.misfit);
  const onset = best === undefined ? null : onCurve({ ...best, ladder });
  const topDrive = steps[steps.length - 1].driveDbFs;
  if (onset !== null && onset.driveDbFs <= topDrive) return onset;
  if (fits.length > 0) return none();
  const between = onsetBetweenSteps({ steps, quietGainDb: gain.value, ladder });
  if (between !== null) return between;
  // Distorted like no single clip: two stages one behind the other, or a limiter that distorts as well.
  const distorted = firstDistorted(steps);
  return distorted === null ? none() : clipOrLimiterFrom(distorted.driveDbFs);
}

function onCurve(of: {
  fit: ClipFit;
  distortion: ClipOnset['distortion'];
  ladder: LadderMeasurement;
}): ClipOnset {
  const { fit, distortion, ladder } = of;
  const ratio = clipRatioForThd({ thd: ONSET_THD, highestHarmonic: ladder.highestHarmonic });
  const driveDbFs = fit.clipPointDb - decibels(ratio);
  return {
    driveDbFs,
    driveSigmaDb: fit.sigmaDb,
    levelDbFs: driveDbFs + fit.gainDb + clippedSineLevelDb(ratio),
    clipPointLevelDbFs: fit.clipPointDb + fit.gainDb,
    distortion,
  };
}

function clipOrLimiterFrom(driveDbFs: number): ToneLimit {
  return {
    onset: notMeasurable(
      { code: 'level held by clip or limiter', driveDbFs },
      { code: 'record with less noise' },
    ),
    doubtfulFromDriveDbFs: driveDbFs,
    cleanToTop: false,
  };
}

function noneSeen(of: {
  steps: readonly LadderStep[];
  ladder: LadderMeasurement;
  quietGain: Estimate;
  thirdGain: number;
}): ToneLimit {
  const { steps, ladder } = of;
  const loudest = steps[steps.length - 1];
  const seenUpTo = clipSeenUpToDbFs({ ...of, loudest, highestHarmonic: ladder.highestHarmonic });
  if (seenUpTo < loudest.driveDbFs - SAME_DRIVE_DB) {
    return {
      onset: notMeasurable(
        { code: 'none seen, noise would hide one', driveDbFs: seenUpTo },
        { code: 'record with less noise' },
      ),
      doubtfulFromDriveDbFs: seenUpTo,
      cleanToTop: false,
    };
  }
  const whole = steps.length === ladder.steps.length;
  return {
    onset: whole
      ? notMeasurable({ code: 'none seen', driveDbFs: loudest.driveDbFs })
      : notMeasurable(
          { code: 'none seen, recorder clipped above', driveDbFs: loudest.driveDbFs },
          { code: 'record with the recorder turned down' },
        ),
    doubtfulFromDriveDbFs: null,
    cleanToTop: whole,
  };
}

function levelNear(profile: LevelProfile, frequencyHz: number): number {
  return profile.levelDb[nearestPoint(frequencyHz)];
}
