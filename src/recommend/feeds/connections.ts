import type { NotedWire } from '../../model/bay-notes.ts';
import type { FeedConnection, FeedTap } from '../../model/recommendation/feeds.ts';
import type { PlanContext } from '../plan-context.ts';
import { isTurnedByRadio } from './anchor-polarity.ts';

/** Which wire goes to which terminal of the input, as a hand connects them. */
export function connectionsOf(context: PlanContext, taps: readonly FeedTap[]): FeedConnection[] {
  return taps.map(({ tapId, polarity }) => {
    const noted = context.session.taps.find(({ id }) => id === tapId);
    const [plus, minus] = [wireName(noted?.plus), wireName(noted?.minus)];
    const cross = polarity === 'inverted';
    return {
      tapId,
      cross,
      plusTo: cross ? minus : plus,
      minusTo: cross ? plus : minus,
      lookAtCone: cross && isTurnedByRadio(context, tapId),
    };
  });
}

/** "violet/black", "violet/black (pin 7)", "pin 7"; null where neither was noted. */
function wireName(wire: NotedWire | undefined): string | null {
  if (wire === undefined) return null;
  const { colour, pin } = wire;
  if (colour === undefined) return pin === undefined ? null : `pin ${pin}`;
  return pin === undefined ? colour : `${colour} (pin ${pin})`;
}
