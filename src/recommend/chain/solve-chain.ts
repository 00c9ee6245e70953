import type { Chain, ChainFeed } from '../../model/chain.ts';
import { findingsOf } from '../../model/finding.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { Restoration } from '../bass/restoration.ts';
import type { Feed } from '../feeds/feed.ts';
import type { PlanContext } from '../plan-context.ts';
import { chainNodes, clipsFirst } from './chain-nodes.ts';
import { chainSupply } from './chain-supply.ts';
import { chainTaps } from './chain-taps.ts';
import { verdictOf } from './chain-verdict.ts';
import { engineOff, railHeadroomDb } from './engine-off.ts';
import { againstGains, conditionsOf } from './feed-conditions.ts';
import type { HighestClean } from './highest-clean-setting.ts';
import { keptBoost } from './kept-boost.ts';
import type { FeedWithTone } from './knob-tone.ts';
import { otherPlayers } from './other-players.ts';
import { bassBeginsAt, clipsBeforeVolume, withoutBass, withoutCleanSetting } from './usable-source.ts';

export interface ChainToSolve {
  readonly feeds: readonly Feed[];
  readonly clean: HighestClean;
  /** The setting that gains are for: the highest clean one, or the one that restoration holds up to. */
  readonly setting: number | null;
  readonly solved: readonly FeedWithTone[];
  readonly restoration: Restoration | null;
  /** Small drivers that the radio's split protected so far. */
  readonly protections: readonly AdviceOf<'protection'>[];
  /** How long a feed waits for the latest, seconds. */
  readonly waitsSeconds: (feed: Feed) => number;
  readonly filters: readonly AdviceOf<'filter'>[];
  readonly equalizing: readonly AdviceOf<'equalizer'>[];
  /** What restoration adds to the subwoofer's feed at a setting, decibels on the grid; null where there is no such feed. */
  readonly boostDb: ((setting: number) => Float64Array) | null;
  readonly startWith: ChainFeed['startWith'];
}

/** Puts what was solved into the one value that everything else reads. */
export function solveChain(context: PlanContext, toSolve: ChainToSolve): Chain {
  const { feeds, clean, setting, solved, restoration, protections } = toSolve;
  const usedIds = [...new Set(feeds.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)))];
  const noSource = withoutCleanSetting(context, clean);
  const outputs = [...new Set(feeds.map(({ output }) => output))];
  const chainFeeds = outputs.map((output): ChainFeed => {
    const own = feeds.filter((feed) => feed.output === output);
    const one = solved.find((feed) => feed.output === output) ?? null;
    const noGains = [
      ...noSource,
      ...(output === 'subwoofer' && restoration?.loss?.atLeast === true
        ? [minimumKnown(restoration.loss)]
        : []),
      ...(output === 'subwoofer'
        ? withoutBass(
            context,
            own.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)),
          )
        : []),
      ...(one === null ? [] : againstGains(one)),
    ];
    return chainFeed(context, { ...toSolve, output, own, one, noGains });
  });
  const chain = {
    player: {
      driveDbFs: clipsBeforeVolume(context) ?? 0,
      ceilingHz: findingsOf(context.findings, 'common-ceiling')[0]?.ceilingHz ?? null,
      ...otherPlayers(context, clean),
    },
    volume: {
      setting: noSource.length > 0 ? null : setting,
      cleanSetting: clean.recorded,
      highestRecorded: context.session.settings.at(-1)!,
      supplyVolts: context.session.supply.volts,
      engineOff: engineOff(context, clean),
    },
    taps: chainTaps(context, { setting, usedIds }),
    feeds: chainFeeds,
    supply: chainSupply(context.equipment, context.session.supply.volts),
  };
  return {
    ...verdictOf({ ...chain, noSource, restoration, protections, bassBeginsAt: bassBeginsAt(context) }),
    ...chain,
  };
}

function minimumKnown({ db, atHz, betweenSettings: [from, to] }: NonNullable<Restoration['loss']>): Reason {
  return { code: 'loss known as a minimum', db, atHz, from, to };
}

function chainFeed(
  context: PlanContext,
  {
    output,
    own,
    one,
    noGains,
    clean,
    restoration,
    boostDb,
    filters,
    equalizing,
    waitsSeconds,
    startWith,
  }: ChainToSolve & {
    readonly output: Feed['output'];
    readonly own: readonly Feed[];
    readonly one: FeedWithTone | null;
    readonly noGains: readonly Reason[];
  },
): ChainFeed {
  const knob = one?.knob ?? null;
  const hasGains = noGains.length === 0 && one !== null && knob !== null;
  const nodes = hasGains ? chainNodes(one, { radioHeadroomDb: railHeadroomDb(context, clean), knob }) : [];
  const restores = output === 'subwoofer' && restoration?.verdict === 'restore';
  const amplifier = one?.amplifier ?? null;
  return {
    output,
    sides: own.map((feed) => ({
      side: feed.side,
      taps: feed.taps,
      summed: feed.summed,
      waitsSeconds: waitsSeconds(feed),
      equalizer: equalizing
        .filter((item) => item.output === output && item.side === feed.side)
        .flatMap(({ bands }) => bands.map(({ shape = 'peak', ...band }) => ({ shape, ...band }))),
    })),
    direct: one?.direct ?? false,
    noGains: [...noGains],
    conditions: one === null ? [] : conditionsOf(context, one),
    setting: hasGains ? one.setting : null,
    worstHz: hasGains ? one.worstHz : null,
    restoration:
      restores && boostDb !== null
        ? {
            fromSetting: restoration.fromSetting,
            boostDb: restoration.amountDb,
            atHz: restoration.atHz,
            ...keptBoost(boostDb, context.session.settings),
          }
        : null,
    gains: hasGains
      ? {
          toLine: one.direct ? null : one.levels.converterGain,
          toAmplifierOutput:
            one.levels.amplifierGain === null ? null : one.levels.converterGain * one.levels.amplifierGain,
        }
      : null,
    noise: {
      converterVolts: one?.converter?.outputNoiseVolts ?? 0,
      amplifierVolts: one?.amplifier?.inputNoiseVolts ?? 0,
    },
    startWith: output === 'subwoofer' ? startWith : 'as wired',
    delaySeconds: Math.max(0, ...own.map(waitsSeconds)),
    nodes,
    bindingLimit: hasGains ? one.levels.bindingLimit : 'nothing',
    clipsFirst: clipsFirst(nodes),
    filters: filters
      .filter((filter) => filter.output === output)
      .map(({ type, state = 'set', cornerHz, slopeDbPerOctave, shortfall }) => ({
        type,
        state,
        cornerHz,
        slopeDbPerOctave,
        shortfall,
      })),
    amplifier:
      amplifier === null
        ? null
        : {
            name: amplifier.name,
            channels: amplifier.channels,
            ratedWatts: amplifier.ratedWatts,
            ratedOhms: amplifier.ratedOhms,
            gainOverlapDb: one!.levels.gainOverlapDb,
          },
    load: one === null || amplifier === null ? null : one.load.load,
    wattsAtLoad:
      hasGains && one.levels.outputVolts !== null ? one.levels.outputVolts ** 2 / one.load.load.ohms : null,
  };
}
