import type { FindingOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import type { TapSeries } from '../tap-series.ts';
import { bassAgainstPlateau } from './against-plateau.ts';
import { notKnown } from './bass-change-base.ts';
import { type BassLevels, bassLevels } from './bass-levels.ts';
import { withoutLoneSettings } from './lone-setting.ts';
import { findPlateau, plateauOfAnotherTap } from './plateau.ts';
import { bassWithoutPlateau } from './without-plateau.ts';

type BassChange = FindingOf<'bass-change'>;
type LoudnessContour = FindingOf<'loudness-contour'>;

/** What happens to the bass of every tap as the volume goes up: a bass-change finding each, and a loudness contour where one shows. */
export function findBassChanges(all: readonly TapSeries[]): (BassChange | LoudnessContour)[] {
  const levels = all.map((series) => {
    const found = bassLevels(series, all);
    return isNotMeasurable(found) ? found : withoutLoneSettings(found);
  });
  const plateaus = levels.map((tapLevels) =>
    isNotMeasurable(tapLevels) ? tapLevels : findPlateau(tapLevels.perSetting),
  );
  const knownSettings =
    plateaus.flatMap((plateau) =>
      isNotMeasurable(plateau) ? [] : [plateau.map(({ setting }) => setting)],
    )[0] ?? [];
  const limiterFree = settingsWithoutLimiter(
    levels.flatMap((tapLevels) => (isNotMeasurable(tapLevels) ? [] : [tapLevels])),
  );
  return all.flatMap((series, i) => {
    const tapLevels = levels[i];
    if (isNotMeasurable(tapLevels))
      return [notKnown({ series, reason: tapLevels.notMeasurable, recordNext: null, leftOut: [] })];
    const own = plateaus[i];
    const plateau = isNotMeasurable(own)
      ? (plateauOfAnotherTap(tapLevels.perSetting, knownSettings) ?? own)
      : own;
    return isNotMeasurable(plateau)
      ? bassWithoutPlateau({ series, tapLevels, limiterFree, why: plateau.notMeasurable })
      : bassAgainstPlateau({ series, tapLevels, plateau, limiterFree });
  });
}

/** Decibels that a limiter may have taken at each setting, by the tap that can tell best: it is one radio. */
function settingsWithoutLimiter(levels: readonly BassLevels[]): ReadonlyMap<number, number> {
  const bounds = new Map<number, number>();
  for (const { setting, levels: linear } of levels.flatMap(({ perSetting }) => perSetting)) {
    if (linear.drive === 'low-drive sweep') continue;
    bounds.set(setting, Math.min(bounds.get(setting) ?? Number.POSITIVE_INFINITY, linear.limitedByAtMostDb));
  }
  return bounds;
}
