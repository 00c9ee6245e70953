import { isNotMeasurable } from '../../model/measured.ts';
import { stagePlace } from './stage-place.ts';
import type { ToneOnset } from './tone-onset.ts';
import { limitPoints, type ToneSeries } from './tone-series.ts';

/** What the tap can give: levels are of a sine in the recording. */
export type CleanLimit =
  | { readonly kind: 'fixed level'; readonly levelDbFs: number }
  | { readonly kind: 'fixed drive' }
  | { readonly kind: 'none seen'; readonly cleanUpToDbFs: number };

/**
 * A limit of the bass alone that the lowest tone met well below what the middle takes cleanly: a transformer saturates at
 * volts that fall with the frequency (closed form: its flux is the integral of its volts).
 */
export interface BassLimit {
  readonly toneHz: number;
  readonly levelDbFs: number;
}

/** What is known of the tap's limit from all tones: fixed drive, fixed level (also where it cannot be told), or none seen. */
export function cleanLimitOf(tones: readonly ToneSeries[]): CleanLimit {
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

export function bassLimitOf(tones: readonly ToneSeries[]): BassLimit | null {
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
