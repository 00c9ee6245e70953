import type { SolvedFeed } from '../chain/solved-feed.ts';
import type { BassReach } from './bass-reach.ts';
import type { Restoration } from './restoration.ts';

/** What the rest of the chain adds to the limits, known only once the gains are. */
export function stoppedBy(
  restoration: Restoration,
  { chain, reach }: { readonly chain: SolvedFeed | undefined; readonly reach: BassReach | undefined },
): Restoration {
  if (restoration.verdict !== 'restore' || restoration.limitedBy !== 'nothing') return restoration;
  if (chain !== undefined && isShort(chain.levels.bindingLimit))
    return { ...restoration, limitedBy: 'headroom' };
  const travelEndsAt = reach?.travelLimitsBelowHz;
  if (travelEndsAt !== undefined && travelEndsAt > restoration.atHz)
    return { ...restoration, limitedBy: 'cone travel' };
  return restoration;
}

function isShort(limit: SolvedFeed['levels']['bindingLimit']): boolean {
  return limit === 'converter gain at its top' || limit === 'amplifier gain at its top';
}
