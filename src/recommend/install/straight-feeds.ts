import type { ChainTap } from '../../model/chain.ts';
import type { Output } from '../../model/equipment.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import type { Restoration } from '../bass/restoration.ts';
import type { Straight } from '../chain/solved-feed.ts';
import type { Feed } from '../feeds/feed.ts';
import { amplifierFor, type PlanContext } from '../plan-context.ts';
import type { Delay } from '../seat/feed-delays.ts';
import { type Need, needsTreatment, orderNeed } from './order-need.ts';

/** The feeds that need no converter; those that are not in it go through one. */
export type StraightFeeds = ReadonlyMap<Output, Straight>;

interface Wired {
  readonly feeds: readonly Feed[];
  readonly delay: Delay | null;
  /** Of the subwoofer's feed. */
  readonly restoration: Restoration | null;
  readonly taps: readonly ChainTap[];
}

/**
 * What goes straight into an amplifier. A line-level output gains nothing but noise from a converter for speaker level; outputs
 * at speaker level share the converter as soon as one of them needs it, so that all gains are set alike (common practice).
 */
export function straightFeeds(context: PlanContext, wired: Wired): StraightFeeds {
  const outputs = [...new Set(wired.feeds.map(({ output }) => output))];
  const ways = outputs.map((output) => [output, wayOf(context, { output, wired })] as const);
  const known = new Map(ways.flatMap(([output, way]) => (way === null ? [] : [[output, way] as const])));
  const hasConverter = context.equipment?.converter != null;
  if (known.size === outputs.length && !hasConverter) return known;
  const line = new Map(
    [...known].filter(([output, way]) => way === 'line' && fillsAmplifier(context, { output, wired })),
  );
  // A converter that is given for line outputs alone is there to lift them.
  return line.size === outputs.length ? new Map() : line;
}

/** What is too weak for the amplifier's most sensitive setting is lifted by the converter that is there for the rest. */
function fillsAmplifier(context: PlanContext, of: { output: Output; wired: Wired }): boolean {
  const { worst } = needOf(context, of);
  const least = amplifierFor(context, of.output)?.sensitivityRangeVoltsRms[0];
  return least !== undefined && !isNotMeasurable(worst) && worst.value >= least;
}

function wayOf(context: PlanContext, of: { output: Output; wired: Wired }): Straight | null {
  const amplifier = amplifierFor(context, of.output);
  const need = needOf(context, of);
  if (amplifier === undefined || needsTreatment(need)) return null;
  if (need.lineLevel) return 'line';
  const limit = amplifier.speakerInputLimitVoltsRms;
  return limit !== null && !isNotMeasurable(need.rating) && limit >= need.rating.value ? 'speaker' : null;
}

function needOf(context: PlanContext, { output, wired }: { output: Output; wired: Wired }): Need {
  return orderNeed(context, {
    ...wired,
    feeds: wired.feeds.filter((feed) => feed.output === output),
    restoration: output === 'subwoofer' ? wired.restoration : null,
  });
}
