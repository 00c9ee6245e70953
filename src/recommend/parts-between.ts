import { chainTaps } from './chain/chain-taps.ts';
import { directInto, type Order, orderNeed, orderSheet } from './install/order-sheet.ts';
import { inputPad, type Pad } from './install/pad.ts';
import type { PlanContext } from './plan-context.ts';
import { type Delay, feedDelays } from './seat/feed-delays.ts';
import type { Wiring } from './wiring.ts';

/** What stands between outputs and amplifiers. */
export interface Parts {
  readonly delay: Delay | null;
  readonly direct: 'line' | 'speaker' | null;
  readonly pad: Pad | null;
  readonly order: Order | null;
}

export function partsBetween(context: PlanContext, { feeds, tapIds, clean, restoring }: Wiring): Parts {
  const delay = feedDelays(context, feeds);
  const need = orderNeed(context, {
    feeds,
    delay,
    restoration: restoring?.recommendation ?? null,
    taps: chainTaps(context, { setting: clean.recorded, usedIds: tapIds }),
  });
  const direct = directInto(context.equipment, need);
  const pad = feeds.length === 0 || direct !== null ? null : inputPad(context, need, tapIds);
  const order = feeds.length === 0 ? null : orderSheet(context, { need, direct, pad, tapIds });
  return { delay, direct, pad, order };
}
