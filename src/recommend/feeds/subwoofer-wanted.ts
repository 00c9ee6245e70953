import type { PlanContext } from '../plan-context.ts';

/** Whether a subwoofer is to be fed: by the parts given, and wherever no amplifier is given yet. */
export function isSubwooferWanted({ equipment }: PlanContext): boolean {
  if (equipment === null || equipment.amplifiers.length === 0) return true;
  return equipment.woofer !== null || equipment.amplifiers.some(({ feeds }) => feeds.includes('subwoofer'));
}
