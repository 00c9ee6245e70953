import { mean } from '../../dsp/statistics.ts';
import { gridSpan } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import { findingsAbout, idsOf, type PlanContext, roleOfTap } from '../plan-context.ts';
import type { Feed } from './feed.ts';
import { SUBWOOFER_RANGE_HZ } from './flatness.ts';

type SubwooferLaw = AdviceOf<'subwoofer-law'>;

/** Drift over the recorded settings that is heard as a change of balance (common practice). */
const AUDIBLE_DRIFT_DB = 2;

/**
 * Whether the radio's subwoofer output goes up with the mains; only where it has a law of its own to compare.
 *
 * @param boostDb what restoration adds at a setting, on the frequency grid: what it brings back is not missing
 */
export function subwooferLaw(
  context: PlanContext,
  feeds: readonly Feed[],
  boostDb: (setting: number) => Float64Array | null = () => null,
): SubwooferLaw[] {
  const sub = feeds.find(({ output }) => output === 'subwoofer');
  const mains = feeds.find(({ output }) => output !== 'subwoofer');
  const subTap = sub?.taps.find(({ tapId }) => roleOfTap(context, tapId).output === 'subwoofer');
  if (subTap === undefined || mains === undefined) return [];
  const subLaw = findingsAbout(context, 'volume-law', [subTap.tapId])[0];
  const mainsLaw = findingsAbout(
    context,
    'volume-law',
    mains.taps.map(({ tapId }) => tapId),
  )[0];
  if (subLaw === undefined || mainsLaw === undefined) return [];
  const apart = subLaw.levels.flatMap(({ setting, levelDbFs }) => {
    const other = mainsLaw.levels.find((level) => level.setting === setting);
    if (other === undefined) return [];
    return [{ setting, db: levelDbFs - other.levelDbFs + meanBoostDb(boostDb(setting)) }];
  });
  if (apart.length < 2) return [];
  const judgedAt = apart.find(({ setting }) => setting === context.judgedSettings[0]) ?? apart[0];
  const perSetting = apart.map(({ setting, db }) => ({ setting, againstMainsDb: db - judgedAt.db }));
  const verdict = verdictFor(perSetting);
  return [
    {
      kind: 'subwoofer-law',
      id: 'subwoofer-law',
      restsOn: idsOf([subLaw, mainsLaw]),
      reasons: [REASONS[verdict]],
      verdict,
      perSetting,
    },
  ];
}

const REASONS: Readonly<Record<SubwooferLaw['verdict'], Reason>> = {
  'keeps with the mains': { code: 'subwoofer output keeps with the others' },
  'falls behind': { code: 'subwoofer output falls behind' },
  'runs off': { code: 'subwoofer output runs ahead' },
};

function meanBoostDb(boostDb: Float64Array | null): number {
  if (boostDb === null) return 0;
  const { first, last } = gridSpan(SUBWOOFER_RANGE_HZ);
  return mean(boostDb.subarray(first, last + 1));
}

function verdictFor(perSetting: SubwooferLaw['perSetting']): SubwooferLaw['verdict'] {
  const drift = perSetting.at(-1)!.againstMainsDb - perSetting[0].againstMainsDb;
  if (Math.abs(drift) < AUDIBLE_DRIFT_DB) return 'keeps with the mains';
  return drift < 0 ? 'falls behind' : 'runs off';
}
