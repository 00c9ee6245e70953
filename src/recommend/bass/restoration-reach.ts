import { gridFrequencyHz, valueAt } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { BassNeed, BassNeeds } from './bass-need.ts';

type Loss = NonNullable<AdviceOf<'restoration'>['loss']>;

/** Restoration is judged from here up: what music has below is little (common practice). */
const LOWEST_RESTORED_HZ = 40;
/** Takes repeat to half a decibel. */
export const ENOUGH_WITHIN_DB = 0.5;

/** The most bass that is missing anywhere from 40 Hz up. */
export function mostNeededDb({ neededDb }: BassNeed): number {
  return neededDb.reduce(
    (most, db, i) => (gridFrequencyHz[i] < LOWEST_RESTORED_HZ ? most : Math.max(most, db)),
    0,
  );
}

/** The highest setting up to which a boost is enough; undefined where it is not even at the lowest. */
export function holdsUpTo(needs: readonly BassNeed[], mostDb: number): BassNeed | undefined {
  const tooMuch = needs.findIndex((need) => mostNeededDb(need) > mostDb + ENOUGH_WITHIN_DB);
  return needs[(tooMuch < 0 ? needs.length : tooMuch) - 1];
}

/** Between the setting that it is held against, where that was recorded, else the one with least loss, and the top one. */
export function lossOf({ perSetting, atLeast, fromSetting }: BassNeeds): Loss {
  const db = ({ neededDb }: BassNeed) => valueAt(neededDb, LOWEST_RESTORED_HZ);
  const least =
    perSetting.find(({ setting }) => setting === fromSetting) ??
    perSetting.reduce((best, need) => (db(need) < db(best) ? need : best));
  const top = perSetting[perSetting.length - 1];
  return {
    atLeast,
    db: db(top) - db(least),
    atHz: LOWEST_RESTORED_HZ,
    betweenSettings: [least.setting, top.setting],
  };
}

export function atLeastReason({ db, atHz, betweenSettings: [from, to] }: Loss): Reason {
  return { code: 'loss is at least this', db, atHz, from, to };
}

/** Above this frequency the boost is enough. */
export function reachHz({ neededDb }: BassNeed, mostDb: number): number {
  const last = neededDb.findLastIndex((db) => db > mostDb + ENOUGH_WITHIN_DB);
  return gridFrequencyHz[Math.min(gridFrequencyHz.length - 1, last + 1)];
}

/** What is said where 12 dB are not enough at the highest clean setting. */
export function beyondReasons(of: { top: BassNeed; holds: BassNeed | undefined; mostDb: number }): Reason[] {
  const { top, holds, mostDb } = of;
  const reach = {
    code: 'boost reaches down to' as const,
    mostDb,
    hz: reachHz(top, mostDb),
    setting: top.setting,
  };
  if (holds === undefined) return [reach];
  return [
    reach,
    { code: 'full only up to a setting', setting: holds.setting, mostDb },
    { code: 'stay below or tap ahead', setting: holds.setting },
  ];
}
