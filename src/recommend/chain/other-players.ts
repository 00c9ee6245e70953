import type { Chain } from '../../model/chain.ts';
import { type FindingOf, findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import type { PlanContext } from '../plan-context.ts';
import type { HighestClean } from './highest-clean-setting.ts';

type Player = NonNullable<Chain['player']['others']>[number];

/** Levels of two takes at one setting agree within this. */
const AGREES_DB = 0.25;

/** Sources that were recorded beside the usual one, each with the setting up to which it stays clean. */
export function otherPlayers(context: PlanContext, clean: HighestClean): Pick<Chain['player'], 'others'> {
  const found = findingsOf(context.findings, 'other-source');
  if (found.length === 0) return {};
  return {
    others: found.map((finding): Player => {
      const { source, levelDb, ceilingHz, movesDb } = finding;
      return {
        source,
        levelDb: isNotMeasurable(levelDb) ? null : levelDb.value,
        ceilingHz,
        movesDb,
        cleanSetting: cleanSetting(context, { finding, clean }),
      };
    }),
  };
}

/**
 * The highest recorded setting at which this source is no louder than the usual one is at its highest clean setting, and
 * below the setting at which it clips by itself. A quieter source gets no more: nobody has tried it above.
 */
function cleanSetting(
  { findings }: PlanContext,
  { finding, clean }: { finding: FindingOf<'other-source'>; clean: HighestClean },
): number | null {
  const { levelDb, movesDb, clip } = finding;
  const { recorded, limitingTapId } = clean;
  if (recorded === null || isNotMeasurable(levelDb) || movesDb !== null) return null;
  const levels = findingsOf(findings, 'volume-law').find(({ tapIds }) => tapIds[0] === limitingTapId)?.levels;
  const highest = levels?.find(({ setting }) => setting === recorded)?.levelDbFs;
  if (levels === undefined || highest === undefined) return null;
  const quietEnough = levels.filter(
    ({ setting, levelDbFs }) =>
      setting <= recorded &&
      (clip === null || setting < clip.setting) &&
      levelDbFs + levelDb.value <= highest + AGREES_DB,
  );
  return quietEnough.length === 0 ? null : Math.max(...quietEnough.map(({ setting }) => setting));
}
