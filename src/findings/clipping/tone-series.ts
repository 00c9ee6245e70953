import { isNotMeasurable } from '../../model/measured.ts';
import type { TapTake } from '../tap-take.ts';
import type { LimitPoint } from './stage-place.ts';
import type { ToneOnset } from './tone-onset.ts';

/** One ladder tone over the settings. */
export interface ToneSeries {
  readonly toneHz: number;
  readonly perSetting: readonly { readonly take: TapTake; readonly tone: ToneOnset }[];
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
