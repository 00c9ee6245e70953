import type { FeedTap } from '../../model/recommendation.ts';

/** Which way round outputs are connected. */
export type Polarities = ReadonlyMap<string, FeedTap['polarity']>;

type Connected = { readonly taps: readonly FeedTap[] };

export function polaritiesOf(plans: readonly Connected[]): Polarities {
  return new Map(plans.flatMap(({ taps }) => taps.map(({ tapId, polarity }) => [tapId, polarity] as const)));
}

/** Of outputs that are added to others: there it decides what is heard. One alone sounds the same either way. */
export function addedPolaritiesOf(plans: readonly Connected[]): Polarities {
  return polaritiesOf(plans.filter(({ taps }) => taps.length > 1));
}
