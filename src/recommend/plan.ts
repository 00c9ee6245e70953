import type { Chain } from '../model/chain.ts';
import type { Output } from '../model/equipment.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { AdviceOf, Recommendation } from '../model/recommendation.ts';
import { bassReach } from './bass/bass-reach.ts';
import { restorationPlan, stoppedBy } from './bass/restoration.ts';
import { chainTaps } from './chain/chain-taps.ts';
import { amplifierGain, converterLevel } from './chain/gain-recommendations.ts';
import { gainStructure } from './chain/gain-structure.ts';
import { highestCleanSetting } from './chain/highest-clean-setting.ts';
import { withTone } from './chain/knob-tone.ts';
import { solveChain } from './chain/solve-chain.ts';
import { solvedFeed } from './chain/solved-feed.ts';
import { allFeeds } from './feeds/all-feeds.ts';
import type { Feed } from './feeds/feed.ts';
import { radioSounds } from './feeds/radio-sounds.ts';
import { subwooferLaw } from './feeds/subwoofer-law.ts';
import { crossoverFilters, USUAL_HAND_OVER_HZ } from './filters/crossover-filters.ts';
import { equalizerDb, equalizers } from './filters/equalizer.ts';
import { smallDrivers } from './filters/small-drivers.ts';
import { cannotBeDone } from './install/cannot-be-done.ts';
import { groundingAdvice } from './install/grounding.ts';
import { directInto, orderNeed, orderSheet } from './install/order-sheet.ts';
import { inputPad } from './install/pad.ts';
import { supplyCheck } from './install/supply-check.ts';
import { turnOnAdvice } from './install/turn-on.ts';
import { type PlanContext, type PlanInput, planContext } from './plan-context.ts';
import { confirmingTake } from './record/confirming-take.ts';
import { recordNext } from './record/record-next.ts';
import { feedBalance } from './seat/feed-balance.ts';
import { feedDelays, lagOf, waitOf } from './seat/feed-delays.ts';
import { seatAdvice } from './seat/seat-takes.ts';

/** The chain of this car, solved once, and everything to do that is read off it. */
export interface Plan {
  readonly chain: Chain;
  /** In the order of work; every item names the findings that it rests on. */
  readonly recommendations: Recommendation[];
}

/**
 * What to do about what was found: what feeds what, how much bass to put back, how far the volume goes, the chain solved for
 * all its limits together, and every gain as a meter reading. Works from measurements and findings alone, so that a results
 * file read back years later gives the same plan, or another one with other parts.
 */
export function makePlan(input: PlanInput): Plan {
  const context = planContext(input);
  const feeds = allFeeds(context);
  const sub = feeds.find(({ output }) => output === 'subwoofer') ?? null;
  const tapIds = [...new Set(feeds.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)))];
  const clean = highestCleanSetting(context, tapIds);
  const restoring = sub === null ? null : restorationPlan(context, sub, clean);
  const setting = restoring?.recommendation.holdsUpToSetting ?? clean.recorded;

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
  const equalizing = equalizers(context, feeds);
  const waitsSeconds = (feed: Feed) => waitOf(delay, feed);
  const lagSeconds = (feed: Feed) => lagOf(context, delay, feed);
  const filtersWithout = crossoverFilters(context, { feeds, reach: undefined, waitsSeconds: lagSeconds });

  const solved = outputsOf(feeds).flatMap((output) => {
    const one = solvedFeed(context, {
      output,
      feeds: feeds.filter((feed) => feed.output === output),
      setting: setting ?? context.session.settings.at(-1)!,
      boostDb: (output === 'subwoofer' && setting !== null ? restoring?.boostDb(setting) : null) ?? flat(),
      equalizerDb: equalizerDb(equalizing, output),
      filters: filtersWithout.filter((filter) => filter.output === output && filter.state !== 'open'),
      direct,
      padDb: pad === null ? 0 : -pad.lossDb,
    });
    return one === null ? [] : [withTone(context, one)];
  });
  const [openReach] = bassReach(context, solved);
  const filters = crossoverFilters(context, { feeds, reach: openReach, waitsSeconds: lagSeconds });
  // One that the part does not have takes nothing away.
  const highPass =
    filters.find(
      ({ output, type, shortfall }) => output === 'subwoofer' && type === 'high-pass' && shortfall === null,
    ) ?? null;
  const [reach] = bassReach(context, solved, highPass);
  const restoration =
    restoring === null
      ? null
      : stoppedBy(restoring.recommendation, {
          chain: solved.find(({ output }) => output === 'subwoofer'),
          reach,
        });
  const protections = smallDrivers(context, feeds);
  const seat = feeds.length === 0 ? [] : seatAdvice(context, handOverOf(filters));
  const chain = solveChain(context, {
    feeds,
    protections,
    clean,
    setting,
    solved,
    restoration,
    boostDb: restoring?.boostDb ?? null,
    equalizing,
    waitsSeconds,
    filters,
    startWith: startWith(filters, seat),
  });
  const gainsOf = <Item>(read: (one: (typeof solved)[number], feed: Chain['feeds'][number]) => Item) =>
    solved.map((one) => read(one, chain.feeds.find(({ output }) => output === one.output)!));
  return {
    chain,
    recommendations: inOrder([
      ...recordNext(context, { feeds, clean }),
      order,
      pad,
      // Before anything is bought.
      ...(order === null ? [] : cannotBeDone(context, { feeds, clean, restoration, order, chain })),
      ...feeds,
      restoration === null ? null : { ...restoration, ...(waitsForGains(chain) ? { waits: true } : {}) },
      ...subwooferLaw(context, feeds, (at) => restoring?.boostDb(at) ?? null),
      reach ?? null,
      feeds.length === 0 ? null : howFar(context, clean, setting),
      ...(feeds.length === 0 ? [] : supplyCheck(context, chain.supply)),
      feeds.length === 0 ? null : turnOnAdvice(context, tapIds),
      ...(feeds.length === 0 ? [] : groundingAdvice(context)),
      ...(feeds.length === 0 ? [] : radioSounds(context, feeds, input.takes ?? [])),
      ...protections,
      ...equalizing,
      ...gainsOf((one, feed) => [
        converterLevel(context, one, feed),
        amplifierGain(context, one, feed),
        gainStructure(context, one, feed),
      ]).flat(),
      ...filters,
      delay,
      feedBalance(context, feeds),
      ...seat,
      ...confirmingTake(context, tapIds),
    ]),
  };
}

function flat(): Float64Array {
  return new Float64Array(gridFrequencyHz.length);
}

function handOverOf(filters: ReturnType<typeof crossoverFilters>): number {
  const lowPass = filters.find(({ output, type }) => output === 'subwoofer' && type === 'low-pass');
  return lowPass?.cornerHz ?? USUAL_HAND_OVER_HZ;
}

/** Nothing of the subwoofer's feed is set before that is settled, its restoration neither. */
function waitsForGains({ feeds }: Chain): boolean {
  return feeds.some(({ output, noGains }) => output === 'subwoofer' && noGains.length > 0);
}

/** The highest clean setting beside the one that gains are for, and the supply that it was found with. */
function howFar(
  { session }: PlanContext,
  clean: ReturnType<typeof highestCleanSetting>,
  setting: number | null,
): ReturnType<typeof highestCleanSetting> {
  const isLower = setting !== null && clean.recorded !== null && setting < clean.recorded;
  return {
    ...clean,
    ...(isLower ? { gainsAt: setting } : {}),
    ...(session.supply.volts === null ? {} : { supplyVolts: session.supply.volts }),
  };
}

/** As the takes at the seat advise; without them, as radio and filters add. */
function startWith(
  filters: ReturnType<typeof crossoverFilters>,
  [seat]: ReturnType<typeof seatAdvice>,
): Chain['feeds'][number]['startWith'] {
  if (seat !== undefined) return seat.polarity === 'inverted' ? 'inverted' : 'as wired';
  return filters.find(({ handOver }) => handOver !== undefined)?.handOver?.startWith ?? 'as wired';
}

function outputsOf(feeds: readonly Feed[]): Output[] {
  return [...new Set(feeds.map(({ output }) => output))];
}

function inOrder(items: readonly (AdviceOf<Recommendation['kind']> | null)[]): Recommendation[] {
  return items.filter((item) => item !== null).map((item, i) => ({ ...item, order: i + 1 }));
}
