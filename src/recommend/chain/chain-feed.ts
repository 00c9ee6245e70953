import type { ChainFeed } from '../../model/chain.ts';
import type { Amplifier } from '../../model/equipment.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { Restoration } from '../bass/restoration.ts';
import type { Feed } from '../feeds/feed.ts';
import type { PlanContext } from '../plan-context.ts';
import { chainNodes, clipsFirst } from './chain-nodes.ts';
import { railHeadroomDb } from './engine-off.ts';
import { conditionsOf } from './feed-conditions.ts';
import type { HighestClean } from './highest-clean-setting.ts';
import { keptBoost } from './kept-boost.ts';
import type { FeedWithTone, KnobTone } from './knob-tone.ts';

export interface ChainFeedParts {
  readonly output: Feed['output'];
  /** The feeds of this output, one a side. */
  readonly own: readonly Feed[];
  /** Null where nothing can be solved without parts or volts. */
  readonly solvedFeed: FeedWithTone | null;
  /** Why no gain may be set; empty where gains follow. */
  readonly noGains: readonly Reason[];
  readonly clean: HighestClean;
  readonly restoration: Restoration | null;
  readonly boostDb: ((setting: number) => Float64Array) | null;
  readonly filters: readonly AdviceOf<'filter'>[];
  readonly equalizing: readonly AdviceOf<'equalizer'>[];
  readonly waitsSeconds: (feed: Feed) => number;
  readonly startWith: ChainFeed['startWith'];
}

/** One feed of the chain from the radio's outputs to the cone: what is set on it, what it carries, and where it clips first. */
export function chainFeed(context: PlanContext, parts: ChainFeedParts): ChainFeed {
  const { output, own, solvedFeed, noGains, clean, waitsSeconds, startWith } = parts;
  const amplifier = solvedFeed?.amplifier ?? null;
  const settable = noGains.length === 0 ? withKnob(solvedFeed) : null;
  const nodes =
    settable === null
      ? []
      : chainNodes(settable, { radioHeadroomDb: railHeadroomDb(context, clean), knob: settable.knob });
  return {
    output,
    sides: own.map((feed) => sideOf(feed, parts)),
    direct: solvedFeed?.direct ?? false,
    noGains: [...noGains],
    conditions: solvedFeed === null ? [] : conditionsOf(context, solvedFeed),
    setting: settable?.setting ?? null,
    worstHz: settable?.worstHz ?? null,
    restoration: restorationOf(context, parts),
    gains: settable === null ? null : gainsOf(settable),
    noise: {
      converterVolts: solvedFeed?.converter?.outputNoiseVolts ?? 0,
      amplifierVolts: amplifier?.inputNoiseVolts ?? 0,
    },
    startWith: output === 'subwoofer' ? startWith : 'as wired',
    delaySeconds: Math.max(0, ...own.map(waitsSeconds)),
    nodes,
    bindingLimit: settable?.levels.bindingLimit ?? 'nothing',
    clipsFirst: clipsFirst(nodes),
    filters: filtersOf(parts),
    amplifier: solvedFeed === null || amplifier === null ? null : amplifierOf(solvedFeed, amplifier),
    load: solvedFeed === null || amplifier === null ? null : solvedFeed.load.load,
    wattsAtLoad: settable === null ? null : wattsAtLoad(settable),
  };
}

/** Gains are set with a tone; a feed that no tone suits has none. */
function withKnob(feed: FeedWithTone | null): (FeedWithTone & { readonly knob: KnobTone }) | null {
  return feed === null || feed.knob === null ? null : { ...feed, knob: feed.knob };
}

function sideOf(
  feed: Feed,
  { output, equalizing, waitsSeconds }: ChainFeedParts,
): ChainFeed['sides'][number] {
  const equalizers = equalizing.filter((item) => item.output === output && item.side === feed.side);
  return {
    side: feed.side,
    taps: feed.taps,
    summed: feed.summed,
    waitsSeconds: waitsSeconds(feed),
    equalizer: equalizers.flatMap(({ bands }) =>
      bands.map(({ shape = 'peak', ...band }) => ({ shape, ...band })),
    ),
  };
}

function restorationOf(
  { session }: PlanContext,
  { output, restoration, boostDb }: ChainFeedParts,
): ChainFeed['restoration'] {
  if (output !== 'subwoofer' || restoration?.verdict !== 'restore' || boostDb === null) return null;
  const { fromSetting, amountDb, atHz } = restoration;
  return { fromSetting, boostDb: amountDb, atHz, ...keptBoost(boostDb, session.settings) };
}

function gainsOf({ direct, levels }: FeedWithTone): NonNullable<ChainFeed['gains']> {
  const { converterGain, amplifierGain } = levels;
  return {
    toLine: direct ? null : converterGain,
    toAmplifierOutput: amplifierGain === null ? null : converterGain * amplifierGain,
  };
}

function filtersOf({ filters, output }: ChainFeedParts): ChainFeed['filters'] {
  return filters
    .filter((filter) => filter.output === output)
    .map(({ type, state = 'set', cornerHz, slopeDbPerOctave, shortfall }) => ({
      type,
      state,
      cornerHz,
      slopeDbPerOctave,
      shortfall,
    }));
}

function amplifierOf(
  { levels }: FeedWithTone,
  { name, channels, ratedWatts, ratedOhms }: Amplifier,
): ChainFeed['amplifier'] {
  return { name, channels, ratedWatts, ratedOhms, gainOverlapDb: levels.gainOverlapDb };
}

function wattsAtLoad({ levels: { outputVolts }, load }: FeedWithTone): number | null {
  return outputVolts === null ? null : outputVolts ** 2 / load.load.ohms;
}
