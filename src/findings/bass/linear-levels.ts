import { BASS_FREQUENCIES_HZ } from '../../model/finding.ts';
import { isNotMeasurable, type NotMeasurable, notMeasurable } from '../../model/measured.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import { isTrusted } from '../../model/response.ts';
import { LOW_SWEEP_DRIVE_DB_FS, MAIN_SWEEP_DRIVE_DB_FS } from '../../tones/track.ts';
import { type Carries, carriedResponse } from '../band/carried-response.ts';
import { meanGain, quietGain, recordedSteps } from '../clipping/ladder.ts';
import type { ToneOnset } from '../clipping/tone-onset.ts';
import { COVERAGE } from '../coverage.ts';
import {
  type Estimate,
  type LevelProfile,
  levelAround,
  levelProfile,
  SIGNIFICANT,
  strongestLevelDb,
} from './level-profile.ts';

/** Levels of one take that no limiter, clipping or gain change has bent, as far as the take can tell. */
export interface LinearLevels {
  readonly profile: LevelProfile;
  readonly drive: 'main sweep' | 'low-drive sweep';
  /** Bass that a limiter may still have taken from the profile, decibels; infinite where the take cannot tell. */
  readonly limitedByAtMostDb: number;
  /** Bass that the main sweep lost against a low drive, decibels, 0 or more; 0 where none was seen. */
  readonly bassLimitedDb: number;
}

/** Differences below these count as none: systematic errors of a sweep against a tone, and 4.5 standard deviations of noise. */
const SAME_LEVEL_DB = 0.1;
const SAME_GAIN_DB = 0.3;
/** A sweep that comes this close to the recorder's limit in a clipped take is spoilt. */
const RECORDER_LIMIT_DB = -0.3;
/** Steps of the ladder at the drive of the main sweep. */
const MAIN_STEPS_DB = [MAIN_SWEEP_DRIVE_DB_FS - 1, MAIN_SWEEP_DRIVE_DB_FS];

/**
 * Levels for comparing settings: from the main sweep, or from the low-drive sweep where the main one was limited or
 * clipped.
 *
 * A limiter behind the volume control looks like an equaliser that follows the volume to a sweep at one drive; the
 * low-drive sweep and the bass ladder tell them apart.
 */
export function linearLevels(of: {
  measurement: TapMeasurement;
  carries: Carries;
  main: LevelProfile;
  tones: readonly ToneOnset[];
  /** Reflections of a cabin ripple so finely that a tone and a sweep, which is smoothed, never read alike. */
  heardInAir: boolean;
}): LinearLevels | NotMeasurable {
  const { measurement, carries, main, tones } = of;
  const low = lowDriveProfile(measurement, carries);
  const both = levelProfile(carriedResponse(measurement, 'left and right'));
  const comparable = carries !== 'difference';
  const clipDrive = Math.min(
    ...tones.map(({ onset }) => (isNotMeasurable(onset) ? Number.POSITIVE_INFINITY : onset.driveDbFs)),
  );
  const gains = comparable && !of.heardInAir ? quietToneGains(measurement, main) : [];

  const checks = comparable ? limiterChecks({ measurement, both, low }) : [];
  const limited = Math.max(0, ...checks.map(({ value, sigma }) => (isLoss({ value, sigma }) ? -value : 0)));
  const mainSpoilt =
    limited > 0 ||
    clipDrive <= MAIN_SWEEP_DRIVE_DB_FS ||
    hitsRecorder({ measurement, profile: main, driveDbFs: MAIN_SWEEP_DRIVE_DB_FS }) ||
    gains.some((gain) => differs(gain, levelAround(both, gain.toneHz)));
  if (!mainSpoilt) {
    const best = checks.reduce<Estimate | null>((a, b) => (a === null || b.sigma < a.sigma ? b : a), null);
    const limitedByAtMostDb =
      best === null ? Number.POSITIVE_INFINITY : Math.max(0, COVERAGE * best.sigma - best.value);
    return { profile: main, drive: 'main sweep', limitedByAtMostDb, bassLimitedDb: 0 };
  }
  if (low === null) {
    return notMeasurable({ code: 'sweep spoilt and none at a lower drive' });
  }
  if (clipDrive <= LOW_SWEEP_DRIVE_DB_FS) return notMeasurable({ code: 'clips at the low-drive sweep' });
  if (gains.some((gain) => differs(gain, levelAround(low, gain.toneHz)))) {
    return notMeasurable({ code: 'gain changed during the take' });
  }
  return { profile: low, drive: 'low-drive sweep', limitedByAtMostDb: 0, bassLimitedDb: limited };
}

function lowDriveProfile({ bothLowDrive }: TapMeasurement, carries: Carries): LevelProfile | null {
  return bothLowDrive === null || carries === 'difference' || carries === 'nothing'
    ? null
    : levelProfile(bothLowDrive);
}

/** How far the main sweep's bass stands above the low drive's (below: negative), by each way of telling. */
function limiterChecks(of: {
  measurement: TapMeasurement;
  both: LevelProfile;
  low: LevelProfile | null;
}): Estimate[] {
  const { measurement, both, low } = of;
  const bySweeps = BASS_FREQUENCIES_HZ.flatMap((frequencyHz) => {
    const [atMain, atLow] = [
      levelAround(both, frequencyHz),
      low === null ? null : levelAround(low, frequencyHz),
    ];
    return atMain === null || atLow === null ? [] : [difference(atMain, atLow)];
  });
  const bassLadder = measurement.ladders.find(({ toneHz }) => toneHz < 100);
  if (bassLadder === undefined || !isTrusted(both, bassLadder.toneHz)) return bySweeps;
  const steps = recordedSteps(bassLadder, measurement);
  const quiet = quietGain(steps);
  const atMainDrive = meanGain(steps.filter(({ driveDbFs }) => MAIN_STEPS_DB.includes(driveDbFs)));
  return quiet === null || atMainDrive === null ? bySweeps : [...bySweeps, difference(atMainDrive, quiet)];
}

/** Gain of each ladder tone at low drive, where the tap carries the tone. */
function quietToneGains(
  measurement: TapMeasurement,
  profile: LevelProfile,
): (Estimate & { toneHz: number })[] {
  return measurement.ladders.flatMap((ladder) => {
    const { toneHz } = ladder;
    const gain = isTrusted(profile, toneHz) ? quietGain(recordedSteps(ladder, measurement)) : null;
    return gain === null ? [] : [{ ...gain, toneHz }];
  });
}

function differs(gain: Estimate, level: Estimate | null): boolean {
  if (level === null) return false;
  const { value, sigma } = difference(level, gain);
  return Math.abs(value) > SAME_GAIN_DB + SIGNIFICANT * sigma;
}

function isLoss({ value, sigma }: Estimate): boolean {
  return -value > Math.max(SAME_LEVEL_DB, SIGNIFICANT * sigma);
}

function difference(one: Estimate, other: Estimate): Estimate {
  return { value: one.value - other.value, sigma: Math.hypot(one.sigma, other.sigma) };
}

function hitsRecorder(of: {
  measurement: TapMeasurement;
  profile: LevelProfile;
  driveDbFs: number;
}): boolean {
  const { measurement, profile, driveDbFs } = of;
  return measurement.recorder.clippedRuns > 0 && strongestLevelDb(profile) + driveDbFs >= RECORDER_LIMIT_DB;
}
