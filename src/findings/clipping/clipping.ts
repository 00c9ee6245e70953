import type { FindingOf } from '../../model/finding.ts';
import { isNotMeasurable, measured, notMeasurable } from '../../model/measured.ts';
import { evidenceOf, type TapSeries } from '../tap-series.ts';
import type { TapTake } from '../tap-take.ts';
import { tapVoltsRms } from '../tap-volts.ts';
import { type BassLimit, type CleanLimit, cleanSettings } from './clean-settings.ts';
import { type LimitPoint, stagePlace } from './stage-place.ts';
import type { ToneOnset } from './tone-onset.ts';

type Clipping = FindingOf<'clipping'>;

/** Of 95 in 100 (coverage factor 2, common practice). */
const COVERAGE = 2;
/** What a sound clip curve is still off by: window, aliases (262 onsets of the random radios 1003001 to 1003312 at 60 to 70 dB). */
const CURVE_SIGMA_DB = 0.00025;
/** The same where the tap's own filters had to be taken out of the harmonics (275 onsets of the same radios at 50 dB or better). */
const FILTERED_CURVE_SIGMA_DB = 0.0008;

/** One ladder tone over the settings. */
export interface ToneSeries {
  readonly toneHz: number;
  readonly perSetting: readonly { readonly take: TapTake; readonly tone: ToneOnset }[];
}

/** Where a tap begins to clip: one finding for each ladder tone, all with the tap's highest clean settings. */
export function findClipping(series: TapSeries): Clipping[] {
  const tones = toneSeries(series.takes);
  const clean = cleanSettings({
    takes: series.takes,
    limit: cleanLimitOf(tones),
    bassLimit: bassLimitOf(tones),
  });
  return tones.map(({ toneHz, perSetting }) => {
    const points = limitPoints(perSetting);
    return {
      kind: 'clipping',
      id: `clipping:${series.tap.id}:${toneHz}`,
      tapIds: [series.tap.id],
      evidence: evidenceOf(perSetting.map(({ take }) => take)),
      toneHz,
      perSetting: perSetting.map(onsetRow),
      place: points.length === 0 ? 'none seen' : stagePlace(points),
      highestHarmonic: Math.min(...perSetting.map(({ tone }) => tone.highestHarmonic)),
      ...clean,
    };
  });
}

/** The takes sorted by ladder tone; settings recorded without ladders are left out. */
export function toneSeries(takes: readonly TapTake[]): ToneSeries[] {
  const tonesHz = [...new Set(takes.flatMap(({ tones }) => tones.map(({ toneHz }) => toneHz)))];
  return tonesHz.map((toneHz) => ({
    toneHz,
    perSetting: takes.flatMap((take) => {
      const tone = take.tones.find((one) => one.toneHz === toneHz);
      return tone === undefined ? [] : [{ take, tone }];
    }),
  }));
}

export function limitPoints(perSetting: ToneSeries['perSetting']): LimitPoint[] {
  return perSetting.flatMap(({ take: { setting }, tone: { onset } }) =>
    isNotMeasurable(onset)
      ? []
      : [{ setting, driveDbFs: onset.driveDbFs, levelDbFs: onset.levelDbFs, sigmaDb: onset.driveSigmaDb }],
  );
}

/** What is known of the tap's limit from all tones: fixed drive, fixed level (also where it cannot be told), or none seen. */
function cleanLimitOf(tones: readonly ToneSeries[]): CleanLimit {
  const points = tones.map(({ perSetting }) => limitPoints(perSetting));
  const seen = points.flat();
  if (seen.length === 0) {
    const clean = tones.flatMap(({ perSetting }) => perSetting.map(({ tone }) => tone.cleanUpToDbFs));
    return { kind: 'none seen', cleanUpToDbFs: Math.max(Number.NEGATIVE_INFINITY, ...clean) };
  }
  if (points.some((ofTone) => stagePlace(ofTone) === 'before the volume control'))
    return { kind: 'fixed drive' };
  return { kind: 'fixed level', levelDbFs: Math.min(...seen.map(({ levelDbFs }) => levelDbFs)) };
}

/** Bass clips so far below what the other tones take cleanly that its limit is its own. */
const BASS_LIMIT_BELOW_DB = 1;
const BASS_BELOW_HZ = 100;

function bassLimitOf(tones: readonly ToneSeries[]): BassLimit | null {
  const bass = tones.find(({ toneHz }) => toneHz < BASS_BELOW_HZ);
  if (bass === undefined) return null;
  // A clip before the volume control, or before the tap's filters, lies low by what follows it.
  const points = limitPoints(bass.perSetting.filter(({ tone: { onset } }) => isAsRecorded(onset)));
  if (points.length === 0 || stagePlace(points) === 'before the volume control') return null;
  const levelDbFs = Math.min(...points.map((point) => point.levelDbFs));
  // In the same takes: one that clips at all tones was held by something else than a core.
  const cleanElsewhereDbFs = Math.max(
    Number.NEGATIVE_INFINITY,
    ...tones
      .filter((tone) => tone !== bass)
      .flatMap(({ perSetting }) =>
        perSetting
          .filter(({ take }) => points.some(({ setting }) => setting === take.setting))
          .map(({ tone }) => tone.cleanUpToDbFs),
      ),
  );
  return levelDbFs < cleanElsewhereDbFs - BASS_LIMIT_BELOW_DB ? { toneHz: bass.toneHz, levelDbFs } : null;
}

function isAsRecorded(onset: ToneOnset['onset']): boolean {
  return !isNotMeasurable(onset) && onset.distortion === 'as recorded';
}

function onsetRow({
  take,
  tone: { onset },
}: ToneSeries['perSetting'][number]): Clipping['perSetting'][number] {
  const { setting } = take;
  if (isNotMeasurable(onset))
    return { setting, driveDbFs: onset, voltsRms: notMeasurable(onset.notMeasurable) };
  const curveSigmaDb = onset.distortion === 'as recorded' ? CURVE_SIGMA_DB : FILTERED_CURVE_SIGMA_DB;
  const plusMinusDb = COVERAGE * Math.hypot(onset.driveSigmaDb, curveSigmaDb);
  return {
    setting,
    driveDbFs: measured({ value: onset.driveDbFs, plusMinus: plusMinusDb }),
    voltsRms: tapVoltsRms(take.measurement, { levelDbFs: onset.levelDbFs, plusMinusDb }),
  };
}
