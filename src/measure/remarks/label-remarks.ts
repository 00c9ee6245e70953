import type { ChannelFacts, Remark, TakeFacts } from '../../model/check.ts';
import type { Session, Tap } from '../../model/session.ts';

/** Labels that the routing contradicts: left and right exchanged, or a side that the tap does not carry. */
export function labelRemarks({ take, session }: { take: TakeFacts; session: Session }): Remark[] {
  const wrong = take.channels.flatMap((channel) => {
    const tap = session.taps.find(({ id }) => id === channel.tapId);
    return tap !== undefined && channel.sameAsTapId === null && contradicts(tap, channel.carries)
      ? [{ tap, channel }]
      : [];
  });
  const partner = ({ tap, channel }: (typeof wrong)[number]) =>
    wrong.find((other) => other.channel.carries === tap.side && other.tap.side === channel.carries);
  return wrong.flatMap((one, i): Remark[] => {
    const exchanged = partner(one);
    if (exchanged !== undefined && wrong.indexOf(exchanged) < i && partner(exchanged) === one) return [];
    const { tap, channel } = one;
    const { carries } = channel;
    return [
      exchanged === undefined
        ? {
            weight: 'settle',
            tapIds: [tap.id],
            reason: { code: 'carries another side', noted: tap.side, carries },
          }
        : {
            weight: 'settle',
            tapIds: [tap.id, exchanged.tap.id],
            reason: {
              code: 'channels swapped',
              tapId: tap.id,
              otherTapId: exchanged.tap.id,
              carries,
              otherCarries: exchanged.channel.carries,
            },
          },
    ];
  });
}

function contradicts({ side }: Tap, carries: ChannelFacts['carries']): boolean {
  if (carries === 'nothing' || side === 'unknown') return false;
  // A surround channel plays one side less the other.
  if (carries === 'difference') return side === 'both';
  return side === 'both' ? carries !== 'left and right' : carries !== side;
}
