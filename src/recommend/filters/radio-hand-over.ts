import { measuredTogether } from '../chain/tap-level.ts';
import type { Feed } from '../feeds/feed.ts';
import { predictSum, type Spectrum } from '../feeds/predict-sum.ts';
import type { PlanContext } from '../plan-context.ts';

/** Subwoofer and mains as the radio gives them, on one time origin. */
interface RadioHandOver {
  readonly mains: Spectrum;
  readonly subwoofer: Spectrum;
}

/**
 * What the radio does to the two before any filter of an amplifier, at a setting at which it cuts no bass; each delayed as
 * the plan delays it. Null where the two were not recorded together.
 */
export function radioHandOver(
  context: PlanContext,
  {
    subwoofer,
    mains,
    waitsSeconds,
  }: {
    readonly subwoofer: Feed;
    readonly mains: Feed;
    readonly waitsSeconds: (feed: Feed) => number;
  },
): RadioHandOver | null {
  const tapIds = [...mains.taps, ...subwoofer.taps].map(({ tapId }) => tapId);
  const setting = context.judgedSettings.find((one) => measuredTogether(context, tapIds, one)?.timed);
  if (setting === undefined) return null;
  const { measurements } = measuredTogether(context, tapIds, setting)!;
  const sumOf = (feed: Feed, from: number) =>
    predictSum({
      programme: 'both',
      parts: feed.taps.map((tap, i) => ({
        measurement: measurements[from + i],
        tap: { ...tap, delaySeconds: tap.delaySeconds + waitsSeconds(feed) },
      })),
    });
  return { mains: sumOf(mains, 0), subwoofer: sumOf(subwoofer, mains.taps.length) };
}
