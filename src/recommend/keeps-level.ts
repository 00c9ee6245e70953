import { findingsAbout, type PlanContext } from './plan-context.ts';

/** Whether one of these outputs does not follow the volume: it plays on when the radio is turned down. */
export function keepsLevel(context: PlanContext, taps: readonly { readonly tapId: string }[]): boolean {
  return findingsAbout(
    context,
    'volume-law',
    taps.map(({ tapId }) => tapId),
  ).some(({ followsVolume }) => !followsVolume);
}
