import type { Chain, ChainFeed } from '../../model/chain.ts';
import { findingsOf } from '../../model/finding.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { Restoration } from '../bass/restoration.ts';
import type { Feed } from '../feeds/feed.ts';
import { keepsLevel } from '../keeps-level.ts';
import type { PlanContext } from '../plan-context.ts';
import { chainFeed } from './chain-feed.ts';
import { chainSupply } from './chain-supply.ts';
import { chainTaps } from './chain-taps.ts';
import { verdictOf } from './chain-verdict.ts';
import { engineOff } from './engine-off.ts';
import { againstGains } from './feed-conditions.ts';
import type { HighestClean } from './highest-clean-setting.ts';
import type { FeedWithTone } from './knob-tone.ts';
import { otherPlayers } from './other-players.ts';
import { bassBeginsAt, clipsBeforeVolume, withoutBass, withoutCleanSetting } from './usable-source.ts';

export interface ChainToSolve {
  readonly feeds: readonly Feed[];
  readonly clean: HighestClean;
  /** The setting that gains are for: the highest clean one, or the one that restoration holds up to or an amplifier takes. */
  readonly setting: number | null;
  readonly solved: readonly FeedWithTone[];
  readonly restoration: Restoration | null;
  /** What keeps gains below the setting that was wanted; null where nothing does. */
  readonly endedBy: Reason | null;
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
  const { feeds, clean, setting, solved, restoration, protections, endedBy } = toSolve;
  const usedIds = [...new Set(feeds.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)))];
  const noSource = withoutCleanSetting(context, clean);
  const outputs = [...new Set(feeds.map(({ output }) => output))];
  const chainFeeds = outputs.map((output): ChainFeed => {
    const own = feeds.filter((feed) => feed.output === output);
    const solvedFeed = solved.find((feed) => feed.output === output) ?? null;
    const noGains = [
      ...noSource,
      ...(output === 'subwoofer' ? againstSubwoofer(context, own, restoration) : []),
      ...(solvedFeed === null ? [] : againstGains(solvedFeed)),
    ];
    return chainFeed(context, { ...toSolve, output, own, solvedFeed, noGains });
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
    ...verdictOf({
      ...chain,
      noSource,
      restoration,
      protections,
      endedBy,
      bassBeginsAt: bassBeginsAt(context),
      keepLevel: [
        ...new Set(feeds.filter(({ taps }) => keepsLevel(context, taps)).map(({ output }) => output)),
      ],
    }),
    ...chain,
  };
}

/** A subwoofer gets no gains while the loss of its outputs is known as a minimum only, or they give it no bass. */
function againstSubwoofer(
  context: PlanContext,
  own: readonly Feed[],
  restoration: Restoration | null,
): readonly Reason[] {
  const tapIds = own.flatMap(({ taps }) => taps.map(({ tapId }) => tapId));
  return [
    ...(restoration?.loss?.atLeast === true ? [minimumKnown(restoration.loss)] : []),
    ...withoutBass(context, tapIds),
  ];
}

function minimumKnown({ db, atHz, betweenSettings: [from, to] }: NonNullable<Restoration['loss']>): Reason {
  return { code: 'loss known as a minimum', db, atHz, from, to };
}
