import type { FindingOf } from '../../model/finding.ts';
import { measured, notMeasurable } from '../../model/measured.ts';
import type { LadderMeasurement, TapMeasurement } from '../../model/measurement.ts';
import { stagePlace } from '../clipping/stage-place.ts';
import { COVERAGE } from '../coverage.ts';
import { evidenceOf, type TapSeries } from '../tap-series.ts';
import type { TapTake } from '../tap-take.ts';
import { tapVoltsRms } from '../tap-volts.ts';
import { fitLimiter, type LimiterFit, lossAt } from './limiter-fit.ts';

/** Of the tones of the ladders, 55 Hz is bass and 997 Hz the middle. */
const BASS_BELOW_HZ = 100;
const MIDDLE_BELOW_HZ = 3000;
/** The middle must follow the drive better than the bass by this, or the limiter is not one of bass. */
const BASS_ALONE_DB = 1;
/**
 * The straight bend is fitted to a limiter whose band split rounds it: of 327 thresholds of the random radios 1003001 to
 * 1003312 and 1004001 to 1004066 at 50 dB or better half lay within 0.04 dB, 95 % within 0.2 dB.
 */
const ROUNDED_BEND_DB = 0.075;

/** Bass that stops following the drive while the middle still does, with little distortion; null where nothing shows it. */
export function findBassLimiter(series: TapSeries): FindingOf<'bass-limiter'> | null {
  const rows = series.takes.flatMap((take) => {
    const bass = take.measurement.ladders.find(({ toneHz }) => toneHz < BASS_BELOW_HZ);
    return bass === undefined ? [] : [{ take, fit: bassOnly(take, bass) }];
  });
  const active = rows.flatMap(({ take, fit }) => (fit === null ? [] : [{ take, fit }]));
  if (active.length === 0) return null;
  const points = active.map(({ take, fit }) => ({
    setting: take.setting,
    driveDbFs: fit.thresholdDriveDbFs,
    levelDbFs: fit.thresholdLevelDbFs,
    sigmaDb: fit.thresholdSigmaDb,
  }));
  return {
    kind: 'bass-limiter',
    id: `bass-limiter:${series.tap.id}`,
    tapIds: [series.tap.id],
    evidence: evidenceOf(active.map(({ take }) => take)),
    place: stagePlace(points),
    perSetting: rows.map(({ take, fit }) => ({
      setting: take.setting,
      ...thresholdOf(take.measurement, fit),
    })),
  };
}

function bassOnly({ measurement, tones }: TapTake, bass: LadderMeasurement): LimiterFit | null {
  // Where a steep low-pass leaves no harmonic, the levels alone must rule out a clip.
  const isClean = tones.some(({ toneHz, cleanToTop }) => toneHz === bass.toneHz && cleanToTop);
  if (!carriesTone(bass) && !isClean) return null;
  const fit = fitLimiter(measurement, bass);
  const middle = measurement.ladders.find(
    ({ toneHz }) => toneHz >= BASS_BELOW_HZ && toneHz < MIDDLE_BELOW_HZ,
  );
  // A subwoofer tap hears noise at the middle tone, whose level does not follow either.
  if (fit === null || middle === undefined || !carriesTone(middle)) return fit;
  const middleLossDb = lossAt(measurement, middle, fit.upToDriveDbFs);
  return middleLossDb !== null && fit.lossDb - middleLossDb < BASS_ALONE_DB ? null : fit;
}

/** With its harmonics: a tap whose filters hold the tone far down hears hum beside it, which looks like a level that does not follow. */
function carriesTone({ steps }: LadderMeasurement): boolean {
  return steps.some(({ thdBeforeFilters }) => thdBeforeFilters !== null);
}

function thresholdOf(measurement: TapMeasurement, fit: LimiterFit | null) {
  if (fit === null) {
    const reason = notMeasurable({ code: 'bass follows the drive' });
    return { thresholdDriveDbFs: reason, levelVoltsRms: reason };
  }
  const plusMinusDb = COVERAGE * Math.hypot(fit.thresholdSigmaDb, ROUNDED_BEND_DB);
  return {
    thresholdDriveDbFs: measured({ value: fit.thresholdDriveDbFs, plusMinus: plusMinusDb }),
    levelVoltsRms: tapVoltsRms(measurement, { levelDbFs: fit.thresholdLevelDbFs, plusMinusDb }),
  };
}
