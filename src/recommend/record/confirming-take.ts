import { valueAt } from '../../model/frequency-grid.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import { tapVolts } from '../chain/highest-clean-setting.ts';
import { measurementsOf, tapLevelDb } from '../chain/tap-level.ts';
import type { PlanContext } from '../plan-context.ts';

/** A radio that still reads within this of its old volts is the same radio with the same settings. */
const SAME_RADIO_WITHIN_DB = 0.5;
const TONE_HZ = 100;

/** The one short take, or meter reading, that allows planning again from the saved results years later. */
export function confirmingTake(context: PlanContext, tapIds: readonly string[]): AdviceOf<'confirm'>[] {
  const setting = context.judgedSettings[0];
  const tapId = setting === undefined ? undefined : strongestAtTone(context, tapIds, setting);
  if (setting === undefined || tapId === undefined) return [];
  return [
    {
      kind: 'confirm',
      id: 'confirm',
      restsOn: [],
      reasons: [{ code: 'before planning again' }],
      tapId,
      setting,
      toneHz: TONE_HZ,
      voltsRms: tapVolts(context, { tapId, setting, frequencyHz: TONE_HZ }),
      withinDb: SAME_RADIO_WITHIN_DB,
    },
  ];
}

/** A tweeter’s tap has nothing to read at a low tone. */
function strongestAtTone(
  context: PlanContext,
  tapIds: readonly string[],
  setting: number,
): string | undefined {
  const levels = tapIds.flatMap((tapId) => {
    const [measurement] = measurementsOf(context, tapId, setting);
    return measurement === undefined ? [] : [{ tapId, db: valueAt(tapLevelDb(measurement), TONE_HZ) }];
  });
  const best = levels.reduce((most, level) => Math.max(most, level.db), Number.NEGATIVE_INFINITY);
  // Of those that are alike, the first of the plan.
  return levels.find(({ db }) => db > best - ALIKE_DB)?.tapId ?? tapIds[0];
}

/** Two taps as loud as one another (chosen here). */
const ALIKE_DB = 0.5;
