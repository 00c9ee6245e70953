import type { RecommendationOf } from '../model/recommendation.ts';
import { type HighestClean, tapVolts } from './highest-clean-setting.ts';
import type { PlanContext } from './plan-context.ts';

/** A radio that still reads within this of its old volts is the same radio with the same settings. */
export const SAME_RADIO_WITHIN_DB = 0.5;
const TONE_HZ = 100;

/** The one short take, or meter reading, that allows planning again from the saved results years later. */
export function confirmingTake(
  context: PlanContext,
  tapIds: readonly string[],
  clean: HighestClean,
): RecommendationOf<'confirm'>[] {
  const setting = context.judgedSettings[0];
  const tapId = clean.limitingTapId ?? tapIds[0];
  if (setting === undefined || tapId === undefined) return [];
  return [
    {
      kind: 'confirm',
      id: 'confirm',
      order: 0,
      restsOn: [],
      reasons: ['before this plan is used again: same source, tone controls and fade in the middle'],
      tapId,
      setting,
      toneHz: TONE_HZ,
      voltsRms: tapVolts(context, { tapId, setting, frequencyHz: TONE_HZ }),
      withinDb: SAME_RADIO_WITHIN_DB,
    },
  ];
}
