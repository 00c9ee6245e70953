import { chainTaps } from './chain/chain-taps.ts';
import { orderNeed } from './install/order-need.ts';
import { type Order, orderSheet } from './install/order-sheet.ts';
import { inputPad, type Pad } from './install/pad.ts';
import { type StraightFeeds, straightFeeds } from './install/straight-feeds.ts';
import type { PlanContext } from './plan-context.ts';
import { type Delay, feedDelays } from './seat/feed-delays.ts';
import type { Wiring } from './wiring.ts';

/** What stands between outputs and amplifiers. */
export interface Parts {
  readonly delay: Delay | null;
  readonly straight: StraightFeeds;
  readonly pad: Pad | null;
  readonly order: Order | null;
}

export function partsBetween(context: PlanContext, { feeds, tapIds, clean, restoring }: Wiring): Parts {
  const delay = feedDelays(context, feeds);
  if (feeds.length === 0) return { delay, straight: new Map(), pad: null, order: null };
  const wired = {
    feeds,
    delay,
    restoration: restoring?.recommendation ?? null,
    taps: chainTaps(context, { setting: clean.recorded, usedIds: tapIds }),
  };
  const straight = straightFeeds(context, wired);
  const converted = feeds.filter(({ output }) => !straight.has(output));
  const need = orderNeed(context, { ...wired, feeds: converted.length === 0 ? feeds : converted });
  const convertedIds = [...new Set(converted.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)))];
  const pad = converted.length === 0 ? null : inputPad(context, need, convertedIds);
  return { delay, straight, pad, order: orderSheet(context, { need, straight, pad, tapIds, feeds }) };
}
