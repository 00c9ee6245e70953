import type { Chain } from '../../model/chain.ts';
import { findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { findingsAbout, type PlanContext } from '../plan-context.ts';
import type { HighestClean } from './highest-clean-setting.ts';

/** A rested battery with the engine off (common practice). */
export const ENGINE_OFF_VOLTS = 12.6;
/** Below this the battery alone fed the radio while it was recorded (common practice). */
const ENGINE_RUNS_ABOVE_VOLTS = 13.2;

/**
 * The highest clean setting once the engine is off: the rail follows the supply (20 log of both), and the volume law says
 * how many steps that is. Null where the rail, the supply or the law is not known, or the engine was off already.
 */
export function engineOff(context: PlanContext, clean: HighestClean): Chain['volume']['engineOff'] {
  const supply = context.session.supply.volts;
  const law = clean.limitingTapId === null ? null : lawOf(context, clean.limitingTapId);
  const headroomDb = railHeadroomDb(context, clean);
  if (supply === null || supply < ENGINE_RUNS_ABOVE_VOLTS || law === null || headroomDb === null) return null;
  const lostDb = 20 * Math.log10(supply / ENGINE_OFF_VOLTS);
  const down = Math.max(0, Math.ceil((lostDb - headroomDb) / law - 1e-6));
  return { supplyVolts: ENGINE_OFF_VOLTS, setting: clean.recorded! - down };
}

function lawOf(context: PlanContext, tapId: string): number | null {
  const law = findingsAbout(context, 'volume-law', [tapId])[0]?.dbPerStep ?? null;
  return law === null || law <= 0 ? null : law;
}

/** How far the highest clean setting lies below the rail at its loudest frequency; null where no rail was seen. */
export function railHeadroomDb({ findings, voltsWithheld }: PlanContext, clean: HighestClean): number | null {
  const rail = findingsOf(findings, 'rail')[0];
  if (rail === undefined || voltsWithheld !== null || isNotMeasurable(clean.voltsRms)) return null;
  return 20 * Math.log10(rail.clipVoltsPeak.value / Math.SQRT2 / clean.voltsRms.value);
}
