import { gridSpan } from '../../model/frequency-grid.ts';
import type { FeedTap } from '../../model/recommendation.ts';
import { measurementsOf, tapLevelDb } from '../chain/tap-level.ts';
import { findingsAbout, type PlanContext } from '../plan-context.ts';

/** Where left and right, front and rear have to pull the same way: what lies above is told apart by the ear. */
const ANCHORED_HZ = [50, 300] as const;

/**
 * A sum is as good with all its taps turned over: the sign is chosen so that the tap with the most bass comes out as
 * the reference tap does. A single tap that the radio turns is turned back. One that another feed connects already stays as it
 * is there.
 *
 * @param known how outputs of other feeds are connected
 */
export function anchorPolarity(
  context: PlanContext,
  taps: readonly FeedTap[],
  known: ReadonlyMap<string, FeedTap['polarity']> = new Map(),
): FeedTap[] {
  const told = taps.find(({ tapId }) => known.has(tapId));
  if (told !== undefined) return known.get(told.tapId) === told.polarity ? [...taps] : taps.map(turned);
  const anchor = taps.reduce((best, tap) =>
    bassDb(context, tap.tapId) > bassDb(context, best.tapId) ? tap : best,
  );
  const comesOutInverted = (anchor.polarity === 'inverted') !== isTurnedByRadio(context, anchor.tapId);
  return comesOutInverted ? taps.map(turned) : [...taps];
}

/** By the timing finding of this very tap; a tap without one, or an ambiguous one, is left as it is. */
export function isTurnedByRadio(context: PlanContext, tapId: string): boolean {
  return findingsAbout(context, 'timing', [tapId]).some(
    (timing) => timing.tapId === tapId && timing.polarity === 'inverted',
  );
}

function bassDb(context: PlanContext, tapId: string): number {
  const { first, last } = gridSpan(ANCHORED_HZ);
  const [measurement] = context.judgedSettings.flatMap((setting) => measurementsOf(context, tapId, setting));
  const level = tapLevelDb(measurement).subarray(first, last + 1);
  return Math.max(...level);
}

function turned(tap: FeedTap): FeedTap {
  return { ...tap, polarity: tap.polarity === 'inverted' ? 'as wired' : 'inverted' };
}
