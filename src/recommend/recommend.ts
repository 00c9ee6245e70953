import type { Output } from '../model/equipment.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { Recommendation } from '../model/recommendation.ts';
import { bassReach } from './bass/bass-reach.ts';
import { restorationPlan, stoppedBy } from './bass/restoration.ts';
import type { Feed } from './feeds/feed.ts';
import { mainsFeeds } from './feeds/mains-feeds.ts';
import { radioSounds } from './feeds/radio-sounds.ts';
import { subwooferFeed } from './feeds/subwoofer-feed.ts';
import { subwooferLaw } from './feeds/subwoofer-law.ts';
import { crossoverFilters, USUAL_HAND_OVER_HZ } from './filters/crossover-filters.ts';
import { equalizers } from './filters/equalizer.ts';
import { smallDrivers } from './filters/small-drivers.ts';
import { type GainChain, gainChain } from './gains/gain-chain.ts';
import { amplifierGain, converterLevel } from './gains/gain-recommendations.ts';
import { gainStructure } from './gains/gain-structure.ts';
import { highestCleanSetting } from './gains/highest-clean-setting.ts';
import { cannotBeDone } from './install/cannot-be-done.ts';
import { groundingAdvice } from './install/grounding.ts';
import { orderSheet } from './install/order-sheet.ts';
import { inputPad } from './install/pad.ts';
import { supplyCheck } from './install/supply-check.ts';
import { turnOnAdvice } from './install/turn-on.ts';
import { type PlanInput, planContext } from './plan-context.ts';
import { confirmingTake } from './record/confirming-take.ts';
import { recordNext } from './record/record-next.ts';
import { feedBalance } from './seat/feed-balance.ts';
import { feedDelays, waitOf } from './seat/feed-delays.ts';
import { seatAdvice } from './seat/seat-takes.ts';

/**
 * What to do about what was found: what to order, which taps feed what, how much bass to put back, how far the volume
 * goes, and every gain as a meter reading. Works from measurements and findings alone, so that a results file read
 * back years later gives the same plan, or another one with other equipment.
 *
 * The list is in the order of work; every item names the findings that it rests on.
 */
export function recommend(input: PlanInput): Recommendation[] {
  const context = planContext(input);
  const mains = mainsFeeds(context);
  const sub = subwooferFeed(context);
  const feeds = sub === null ? mains : [...mains, sub];
  if (feeds.length === 0)
    return inOrder(recordNext(context, { feeds, clean: highestCleanSetting(context, []) }));

  const tapIds = [...new Set(feeds.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)))];
  const clean = highestCleanSetting(context, tapIds);
  const restoring = sub === null ? null : restorationPlan(context, sub, clean);
  const order = orderSheet(context, { feeds, restoration: restoring?.recommendation ?? null, clean });

  const gainSetting = clean.recorded ?? input.session.settings.at(-1)!;
  const flat = new Float64Array(gridFrequencyHz.length);
  const chains = byOutput(feeds)
    .map(([output, ofOutput]) =>
      gainChain(context, {
        output,
        feeds: ofOutput,
        setting: gainSetting,
        boostDb: output === 'subwoofer' ? (restoring?.boostDb(gainSetting) ?? flat) : flat,
        direct: order.converterClass === 'none',
      }),
    )
    .filter((chain): chain is GainChain => chain !== null);

  const [reach] = bassReach(context, chains);
  const subChain = chains.find(({ output }) => output === 'subwoofer');
  const restoration =
    restoring === null ? null : stoppedBy(restoring.recommendation, { chain: subChain, reach });

  const delay = feedDelays(context, feeds);
  const filters = crossoverFilters(context, { feeds, reach, waitsSeconds: (feed) => waitOf(delay, feed) });
  const set = filters.filter(({ state }) => state !== 'open');
  return inOrder([
    ...recordNext(context, { feeds, clean }),
    order,
    ...inputPad(context, order, tapIds),
    // Before anything is bought.
    ...cannotBeDone(context, { feeds, clean, restoration, order, chains }),
    ...feeds,
    restoration,
    ...subwooferLaw(context, feeds, (setting) => restoring?.boostDb(setting) ?? null),
    reach ?? null,
    clean,
    ...supplyCheck(context),
    turnOnAdvice(context, tapIds),
    ...groundingAdvice(context),
    ...radioSounds(context, feeds, input.takes ?? []),
    ...smallDrivers(context, feeds),
    ...equalizers(context, feeds),
    ...chains.flatMap((chain) => [
      converterLevel(context, chain, clean),
      amplifierGain(context, chain, set),
      gainStructure(context, chain, clean),
    ]),
    ...filters,
    delay,
    feedBalance(context, feeds),
    ...seatAdvice(context, handOverOf(filters)),
    ...confirmingTake(context, tapIds),
  ]);
}

function handOverOf(filters: ReturnType<typeof crossoverFilters>): number {
  const lowPass = filters.find(({ output, type }) => output === 'subwoofer' && type === 'low-pass');
  return lowPass?.cornerHz ?? USUAL_HAND_OVER_HZ;
}

function byOutput(feeds: readonly Feed[]): [Output, Feed[]][] {
  const outputs = [...new Set(feeds.map(({ output }) => output))];
  return outputs.map((output) => [output, feeds.filter((feed) => feed.output === output)]);
}

function inOrder(items: readonly (Recommendation | null)[]): Recommendation[] {
  return items.filter((item) => item !== null).map((item, i) => ({ ...item, order: i + 1 }));
}
