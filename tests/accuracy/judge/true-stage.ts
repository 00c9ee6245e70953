import { limiterResponse } from '../../../src/simulate/bass-limiter.ts';
import { transformerOnsetVoltsPeak } from '../../../src/simulate/output-transformer.ts';
import { pairVoltsRms, routingOf } from '../../../src/simulate/tap-levels.ts';
import { samplesPerTrackSecond } from '../../../src/simulate/tap-signal.ts';
import { onsetRatio, peakVoltsAtRail } from '../../../src/simulate/true-clipping.ts';
import type { TrueTap } from './true-tap.ts';

export interface StageOnset {
  readonly driveDbFs: number;
  readonly place: 'before the volume control' | 'after the volume control';
  /** How far the other stage lies above it, decibels; infinite where there is none. */
  readonly otherAboveDb: number;
  readonly voltsRms: number | null;
}

interface ToneAt {
  readonly setting: number;
  readonly toneHz: number;
  readonly programme?: 'both' | 'one side';
}

const LOWEST_DRIVE_DB_FS = -80;
const HIGHEST_DRIVE_DB_FS = 20;
const HIGHEST_HARMONIC = 10;
const ONSET_DISTORTION = 0.01;
const HIGHEST_HARMONIC_HZ = 20_000;

/**
 * Drive at which a clipping stage of the radio itself makes 1 % distortion of a tone, whatever the filters behind it do to the
 * harmonics; null where neither stage ever does.
 */
export function stageOnset({ factory, tap }: TrueTap, at: ToneAt): StageOnset | null {
  const { setting, toneHz } = at;
  const { scenario } = factory;
  const ratio = onsetRatio(Math.min(HIGHEST_HARMONIC, Math.floor(HIGHEST_HARMONIC_HZ / toneHz)));
  const { left, right } = routingOf(tap);
  const sideDb =
    at.programme === 'one side'
      ? 20 * Math.log10(Math.max(Math.abs(left), Math.abs(right)) / Math.abs(left + right))
      : 0;
  const before =
    tap.clipBeforeDbFs === null
      ? Number.POSITIVE_INFINITY
      : tap.clipBeforeDbFs - 20 * Math.log10(ratio * Math.abs(left + right)) - sideDb;
  const railPeak = (driveDbFs: number) =>
    peakVoltsAtRail(scenario, { tapId: tap.id, setting, toneHz, driveDbFs: driveDbFs + sideDb });
  const { transformerVoltsAt20Hz: voltsAt20Hz } = tap;
  const coreVolts =
    voltsAt20Hz === null
      ? Number.POSITIVE_INFINITY
      : transformerOnsetVoltsPeak({ voltsAt20Hz, toneHz, distortion: ONSET_DISTORTION });
  const rail = driveAt(
    (driveDbFs) =>
      railPeak(driveDbFs) * ratio > (tap.railVoltsPeak ?? Number.POSITIVE_INFINITY) ||
      railPeak(driveDbFs) > coreVolts,
  );
  const driveDbFs = Math.min(before, rail);
  if (!Number.isFinite(driveDbFs)) return null;
  return {
    driveDbFs,
    place: before < rail ? 'before the volume control' : 'after the volume control',
    otherAboveDb: Math.abs(before - rail),
    voltsRms: rail < before && tap.railVoltsPeak !== null && voltsAt20Hz === null ? tap.railVoltsPeak : null,
  };
}

/**
 * What a limiter takes off a steady tone at full drive, decibels, and the drive from which on it does; null without one.
 */
export function limiterAction(
  { factory, tap, dependentDb, fixedDb }: TrueTap,
  { setting, toneHz }: ToneAt,
): { thresholdDriveDbFs: number; lossAtFullDriveDb: number } | null {
  const { left, right } = routingOf(tap);
  const atFullDrive =
    tap.limiterBefore !== null
      ? Math.abs(left + right)
      : Math.SQRT2 *
        pairVoltsRms(tap, setting) *
        Math.abs(left + right) *
        10 ** ((fixedDb(toneHz) + dependentDb(setting, toneHz)) / 20);
  const limiter =
    tap.limiterBefore !== null
      ? { ...tap.limiterBefore, threshold: 10 ** (tap.limiterBefore.thresholdDbFs / 20) }
      : tap.limiterAfter !== null
        ? { ...tap.limiterAfter, threshold: tap.limiterAfter.thresholdVoltsRms * Math.SQRT2 }
        : null;
  if (limiter === null) return null;
  const sampleRateHz = samplesPerTrackSecond(factory.scenario);
  const gainDb = (driveDbFs: number) => {
    const level = atFullDrive * 10 ** (driveDbFs / 20);
    const { real, imag } = limiterResponse(limiter, { frequencyHz: toneHz, level, sampleRateHz });
    return 20 * Math.log10(Math.hypot(real, imag));
  };
  return {
    thresholdDriveDbFs: driveAt((driveDbFs) => gainDb(driveDbFs) < -1e-6),
    lossAtFullDriveDb: -gainDb(0),
  };
}

/** Lowest drive that meets a condition which every higher one meets too; infinite where none does. */
function driveAt(met: (driveDbFs: number) => boolean): number {
  if (!met(HIGHEST_DRIVE_DB_FS)) return Number.POSITIVE_INFINITY;
  let [low, high] = [LOWEST_DRIVE_DB_FS, HIGHEST_DRIVE_DB_FS];
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (met(middle)) high = middle;
    else low = middle;
  }
  return high;
}
