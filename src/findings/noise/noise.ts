import { decibelsOfPower, powerRatioOf } from '../../dsp/decibels.ts';
import type { FindingOf } from '../../model/finding.ts';
import { type MeasuredOrReason, notMeasurable } from '../../model/measured.ts';
import type { NoiseMeasurement, TapMeasurement } from '../../model/measurement.ts';
import { strongestLevelDb } from '../bass/level-profile.ts';
import { evidenceOf, type TapSeries } from '../tap-series.ts';
import type { TapTake } from '../tap-take.ts';
import { tapVoltsRms } from '../tap-volts.ts';
import { humOf } from './hum.ts';

type Noise = FindingOf<'noise'>;

/** A floor this much lower in silence than under the quiet tone is a mute at work. */
const MUTE_DB = 6;
/** A floor this close to another's is mostly that other's (3 dB: half the power). */
const MOSTLY_DB = 3;
/** Floors over the settings that stay within this do not come from before the volume control. */
const CONSTANT_DB = 1;
/** Gain of the settings must differ by this before a floor that stays can say anything. */
const GAIN_DIFFERENCE_DB = 6;
/** Reading of a floor over four seconds: 1 dB covers it (common practice). */
const FLOOR_PLUS_MINUS_DB = 1;
/** Lines within this of each other at different settings are one. */
const SAME_LINE_HZ = 1;

/** Noise of a tap at each setting: its level, its lines, whether it is muted in silence, and whose it is. */
export function findNoise(series: TapSeries): Noise | null {
  const rows = series.takes.flatMap((take) =>
    take.measurement.noise === null ? [] : [{ take, noise: take.measurement.noise }],
  );
  if (rows.length === 0) return null;
  const lines = strongestLines(rows.map(({ noise }) => noise));
  return {
    kind: 'noise',
    id: `noise:${series.tap.id}`,
    tapIds: [series.tap.id],
    evidence: evidenceOf(rows.map(({ take }) => take)),
    perSetting: rows.map(({ take, noise }) => ({
      setting: take.setting,
      underQuietToneDbFs: noise.underQuietToneDbFs,
      underQuietToneVolts: noiseVolts(take.measurement, noise),
      inSilenceDbFs: noise.inSilenceDbFs,
    })),
    lines,
    mainsHz: humOf(lines.map(({ frequencyHz }) => frequencyHz)),
    mutesInSilence: rows.some(({ noise }) => noise.underQuietToneDbFs - noise.inSilenceDbFs > MUTE_DB),
    limitedBy: limitedBy(rows),
  };
}

function noiseVolts(measurement: TapMeasurement, noise: NoiseMeasurement): MeasuredOrReason {
  const { underQuietToneDbFs, recorderDbFs } = noise;
  if (recorderDbFs !== null && underQuietToneDbFs - recorderDbFs < MOSTLY_DB) {
    return notMeasurable({ code: 'quieter than the recorder' });
  }
  const levelDbFs = recorderDbFs === null ? underQuietToneDbFs : subtracted(underQuietToneDbFs, recorderDbFs);
  return tapVoltsRms(measurement, { levelDbFs, plusMinusDb: FLOOR_PLUS_MINUS_DB });
}

/** Power of one level less that of another, dB; at least a tenth of it is left. */
function subtracted(levelDb: number, otherDb: number): number {
  return levelDb + decibelsOfPower(Math.max(0.1, 1 - powerRatioOf(otherDb - levelDb)));
}

/** Each line once, at its strongest. */
function strongestLines(noises: readonly NoiseMeasurement[]): Noise['lines'] {
  const all = noises.flatMap(({ lines }) => [...lines]).sort((one, other) => other.levelDbFs - one.levelDbFs);
  return all
    .filter(
      (line, i) =>
        !all.slice(0, i).some(({ frequencyHz }) => Math.abs(frequencyHz - line.frequencyHz) <= SAME_LINE_HZ),
    )
    .sort((one, other) => one.frequencyHz - other.frequencyHz);
}

function limitedBy(rows: readonly { take: TapTake; noise: NoiseMeasurement }[]): Noise['limitedBy'] {
  const known = rows.filter(({ noise }) => noise.recorderDbFs !== null);
  if (known.length > 0) {
    const radio = known.some(({ noise }) => noise.underQuietToneDbFs - noise.recorderDbFs! >= MOSTLY_DB);
    return radio ? 'radio' : 'recorder';
  }
  // Without a shorted take: a floor that rises with the volume is the radio's; one that stays may be either's.
  const floors = rows.map(({ noise }) => noise.underQuietToneDbFs);
  const gains = rows.map(({ take }) => strongestLevelDb(take.profile)).filter(Number.isFinite);
  const spread = (values: readonly number[]) => Math.max(...values) - Math.min(...values);
  return gains.length > 1 && spread(gains) >= GAIN_DIFFERENCE_DB && spread(floors) > CONSTANT_DB + MOSTLY_DB
    ? 'radio'
    : 'not told';
}
