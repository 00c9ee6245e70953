import type { Chain } from '../model/chain.ts';
import type { Reason } from '../model/reason.ts';
import type { AdviceOf, Recommendation } from '../model/recommendation.ts';
import { amplifierGain, converterLevel } from './chain/gain-recommendations.ts';
import { gainStructure } from './chain/gain-structure.ts';
import type { HighestClean } from './chain/highest-clean-setting.ts';
import { radioSounds } from './feeds/radio-sounds.ts';
import { subwooferLaw } from './feeds/subwoofer-law.ts';
import { cannotBeDone } from './install/cannot-be-done.ts';
import { groundingAdvice } from './install/grounding.ts';
import { supplyCheck } from './install/supply-check.ts';
import { turnOnAdvice } from './install/turn-on.ts';
import type { Parts } from './parts-between.ts';
import type { PlanContext, PlanInput } from './plan-context.ts';
import type { PlannedSound } from './planned-sound.ts';
import { confirmingTake } from './record/confirming-take.ts';
import { recordNext } from './record/record-next.ts';
import { feedBalance } from './seat/feed-balance.ts';
import type { Wiring } from './wiring.ts';

type Advice = AdviceOf<Recommendation['kind']>;

/** All that was planned. */
interface Work extends Wiring, Parts, PlannedSound {
  readonly protections: readonly AdviceOf<'protection'>[];
  readonly seat: readonly AdviceOf<'seat'>[];
  readonly chain: Chain;
  /** What keeps gains below the setting that was wanted; null where nothing does. */
  readonly endedBy: Reason | null;
  readonly takes: PlanInput['takes'];
}

/** Everything to do, from what is recorded and bought to what is turned at the seat. */
export function orderOfWork(context: PlanContext, work: Work): Recommendation[] {
  const advice: (Advice | null)[] = [
    ...beforeBuying(context, work),
    ...whatFeedsWhat(context, work),
    ...(work.feeds.length === 0 ? [] : installation(context, work)),
    ...work.protections,
    ...work.equalizing,
    ...gainsOf(context, work),
    ...work.filters,
    work.delay,
    feedBalance(context, work.feeds),
    ...work.seat,
    ...confirmingTake(context, work.tapIds),
  ];
  return advice.filter((item) => item !== null).map((item, i) => ({ ...item, order: i + 1 }));
}

function beforeBuying(context: PlanContext, of: Work): (Advice | null)[] {
  const { feeds, clean, restoration, order, pad, chain, endedBy } = of;
  return [
    ...recordNext(context, { feeds, clean, isEnded: endedBy !== null }),
    order,
    pad,
    ...(order === null ? [] : cannotBeDone(context, { feeds, clean, restoration, order, chain })),
  ];
}

function whatFeedsWhat(context: PlanContext, of: Work): (Advice | null)[] {
  const { feeds, restoration, restoring, reach, clean, setting, chain, endedBy } = of;
  return [
    ...feeds,
    restoration === null ? null : { ...restoration, ...(waitsForGains(chain) ? { waits: true } : {}) },
    ...subwooferLaw(context, feeds, (at) => restoring?.boostDb(at) ?? null),
    reach,
    feeds.length === 0 ? null : howFar(context, { clean, setting, endedBy }),
  ];
}

function installation(context: PlanContext, { tapIds, feeds, chain, takes }: Work): (Advice | null)[] {
  return [
    ...supplyCheck(context, chain.supply),
    turnOnAdvice(context, tapIds),
    ...groundingAdvice(context),
    ...radioSounds(context, feeds, takes ?? []),
  ];
}

function gainsOf(context: PlanContext, { solved, chain }: Work): (Advice | null)[] {
  const each = solved.map((one) => ({
    one,
    feed: chain.feeds.find(({ output }) => output === one.output)!,
  }));
  return each.flatMap(({ one, feed }) => [
    converterLevel(context, one, feed),
    amplifierGain(context, one, feed),
    gainStructure(context, one, feed),
  ]);
}

/** Nothing of the subwoofer's feed is set before that is settled, its restoration neither. */
function waitsForGains({ feeds }: Chain): boolean {
  return feeds.some(({ output, noGains }) => output === 'subwoofer' && noGains.length > 0);
}

/** The highest clean setting beside the one that gains are for, and the supply that it was found with. */
function howFar(
  { session }: PlanContext,
  { clean, setting, endedBy }: Pick<Work, 'clean' | 'setting' | 'endedBy'>,
): HighestClean {
  const isLower = setting !== null && clean.recorded !== null && setting < clean.recorded;
  return {
    ...clean,
    ...(isLower ? { gainsAt: setting } : {}),
    ...(isLower && endedBy !== null ? { endedBy } : {}),
    ...(session.supply.volts === null ? {} : { supplyVolts: session.supply.volts }),
  };
}
