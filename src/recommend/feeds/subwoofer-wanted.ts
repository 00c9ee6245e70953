import type { PlanContext } from '../plan-context.ts';

/** Whether a subwoofer is to be fed: where an amplifier for it is given, and wherever none is given at all. */
export function isSubwooferWanted({ equipment }: PlanContext): boolean {
  if (equipment === null || equipment.amplifiers.length === 0) return true;
  return equipment.amplifiers.some(({ feeds }) => feeds.includes('subwoofer'));
}
