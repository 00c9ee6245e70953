import { findingsAbout, type PlanContext } from '../plan-context.ts';

/** When a tap's sound comes, against the reference tap, seconds; null where it is not known. */
export function tapArrival(context: PlanContext, tapId: string): number | null {
  const timings = findingsAbout(context, 'timing', [tapId]);
  const own = timings.find((timing) => timing.tapId === tapId);
  if (own !== undefined) return 'value' in own.delaySeconds ? own.delaySeconds.value : null;
  return timings.some(({ referenceTapId }) => referenceTapId === tapId) ? 0 : null;
}
