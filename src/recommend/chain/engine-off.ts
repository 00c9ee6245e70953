import { decibels } from '../../dsp/decibels.ts';
import type { Chain } from '../../model/chain.ts';
import { findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { supplySystem } from '../install/supply-system.ts';
import { findingsAbout, type PlanContext } from '../plan-context.ts';
import type { HighestClean } from './highest-clean-setting.ts';

/**
 * The highest clean setting once the engine is off: the rail follows the supply (20 log of both), and the volume law says
 * how many steps that is. Null where the rail, the supply or the law is not known, or the engine was off already.
 */
export function engineOff(context: PlanContext, clean: HighestClean): Chain['volume']['engineOff'] {
  const supply = context.session.supply.volts;
  const law = clean.limitingTapId === null ? null : lawOf(context, clean.limitingTapId);
  const headroomDb = railHeadroomDb(context, clean);
  const { engineOffVolts, engineRunsVolts } = supplySystem(supply);
  if (supply === null || supply < engineRunsVolts || law === null || headroomDb === null) return null;
  const lostDb = decibels(supply / engineOffVolts);
  const down = Math.max(0, Math.ceil((lostDb - headroomDb) / law - 1e-6));
  return { supplyVolts: engineOffVolts, setting: clean.recorded! - down };
}

function lawOf(context: PlanContext, tapId: string): number | null {
  const law = findingsAbout(context, 'volume-law', [tapId])[0]?.dbPerStep ?? null;
  return law === null || law <= 0 ? null : law;
}

/** How far the highest clean setting lies below the rail at its loudest frequency; null where no rail was seen. */
export function railHeadroomDb(context: PlanContext, clean: HighestClean): number | null {
  const tapIds = clean.limitingTapId === null ? [] : [clean.limitingTapId];
  const rail = findingsAbout(context, 'rail', tapIds)[0] ?? findingsOf(context.findings, 'rail')[0];
  if (rail === undefined || context.voltsWithheld !== null || isNotMeasurable(clean.voltsRms)) return null;
  return decibels(rail.clipVoltsPeak.value / Math.SQRT2 / clean.voltsRms.value);
}
