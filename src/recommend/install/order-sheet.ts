import type { Converter } from '../../model/equipment.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { Straight } from '../chain/solved-feed.ts';
import type { Feed } from '../feeds/feed.ts';
import { findingsAbout, idsOf, type PlanContext } from '../plan-context.ts';
import { type Need, needsTreatment } from './order-need.ts';
import type { Pad } from './pad.ts';
import type { StraightFeeds } from './straight-feeds.ts';
import { turnOnAdvice } from './turn-on.ts';

export type Order = AdviceOf<'order'>;

/** What to buy, worked out from the feeds, the volts and the bass that is missing; or that what is there will do. */
export function orderSheet(
  context: PlanContext,
  of: {
    /** Of the feeds that a converter has to serve, or of all where none has to. */
    need: Need;
    /** The feeds that do without one. */
    straight: StraightFeeds;
    pad: Pad | null;
    tapIds: readonly string[];
    feeds: readonly Feed[];
  },
): Order {
  const { need, pad, tapIds } = of;
  const { equipment } = context;
  const given =
    equipment?.converter == null
      ? null
      : { name: equipment.converter.name, shortfalls: shortfalls(equipment.converter, need, pad) };
  const isLine = need.lineLevel && !needsTreatment(need);
  const straight = of.feeds.every(({ output }) => of.straight.has(output)) || isLine;
  return {
    kind: 'order',
    id: 'order',
    restsOn: idsOf([
      ...findingsAbout(context, 'band', tapIds),
      ...findingsAbout(context, 'bass-change', tapIds),
      ...findingsAbout(context, 'clipping', tapIds),
      ...findingsAbout(context, 'clean-settings', tapIds),
      ...findingsAbout(context, 'volume-law', tapIds),
      ...findingsAbout(context, 'rail', tapIds),
    ]),
    reasons: reasonsFor(need, {
      straight: isLine ? 'line' : straight ? 'speaker' : null,
      given,
      hasAmplifiers: (equipment?.amplifiers.length ?? 0) > 0,
    }),
    nothingToOrder: straight || given?.shortfalls.length === 0,
    converterClass: straight ? 'none' : classFor(need),
    inputs: need.inputs,
    level: need.lineLevel ? 'line' : 'speaker',
    worstInputVoltsRms: need.worst,
    inputRatingVoltsRms: need.rating,
    summing: need.summing,
    delay: need.delaySeconds > 0,
    ...(need.delaySeconds > 0 ? { delaySeconds: need.delaySeconds } : {}),
    restorationDb: need.restorationDb,
    straight: [...of.straight].map(([output, into]) => ({ output, into })),
    load: loadOf(need, of.straight),
    turnOn: turnOnAdvice(context, tapIds).use,
    given,
  };
}

function classFor({
  summing,
  delaySeconds,
  trimDb,
  restorationDb,
  restorationKnown,
}: Need): Order['converterClass'] {
  if (delaySeconds > 0 || trimDb > 0) return 'digital processor';
  if (restorationDb > 0 || !restorationKnown) return 'summing with restoration';
  return summing ? 'summing' : 'gain only';
}

function loadOf({ lineLevel }: Need, straight: StraightFeeds): Reason {
  if (lineLevel) return { code: 'no load at line level' };
  return { code: [...straight.values()].includes('line') ? 'keep a load at speaker level' : 'keep a load' };
}

/** Inputs that stand too little are none with a pad in front. */
function shortfalls(converter: Converter, need: Need, pad: Pad | null): Reason[] {
  const boostDb = converter.restoration?.maximumDb ?? 0;
  const items: (Reason | null)[] = [
    converter.inputs < need.inputs
      ? { code: 'too few inputs', needed: need.inputs, has: converter.inputs }
      : null,
    need.summing && converter.summing === 'none' ? { code: 'cannot add' } : null,
    delayShortfall(converter, need),
    need.restorationDb > boostDb + 0.1
      ? { code: 'too little restoration', neededDb: need.restorationDb, hasDb: boostDb }
      : null,
    !need.restorationKnown && boostDb === 0 ? { code: 'loss not known yet' } : null,
    pad === null && !isNotMeasurable(need.rating) && converter.inputLimitVoltsRms < need.rating.value
      ? { code: 'inputs stand too little', stands: converter.inputLimitVoltsRms, needed: need.rating.value }
      : null,
  ];
  return items.filter((item) => item !== null);
}

/** Steps of a part and rounding of recordings: this much too short is long enough. */
const ENOUGH_DELAY_RATIO = 0.98;

function delayShortfall({ maximumDelaySeconds }: Converter, { delaySeconds }: Need): Reason | null {
  if (maximumDelaySeconds >= delaySeconds * ENOUGH_DELAY_RATIO) return null;
  return maximumDelaySeconds === 0
    ? { code: 'cannot delay' }
    : { code: 'delays too little', neededSeconds: delaySeconds, hasSeconds: maximumDelaySeconds };
}

function reasonsFor(
  need: Need,
  {
    straight,
    given,
    hasAmplifiers,
  }: { straight: Straight | null; given: Order['given']; hasAmplifiers: boolean },
): Reason[] {
  if (straight === 'line') return [{ code: 'straight into line inputs' }];
  if (straight === 'speaker') return [{ code: 'straight into speaker-level inputs' }];
  if (given?.shortfalls.length === 0) return [{ code: 'the part given will do', name: given.name }];
  const plain = !need.summing && need.delaySeconds === 0 && need.restorationDb === 0;
  const items: (Reason | null)[] = [
    need.summing ? { code: 'outputs are added' } : null,
    need.delaySeconds > 0 ? { code: 'outputs do not arrive together', seconds: need.delaySeconds } : null,
    need.trimDb > 0 ? { code: 'outputs are not equally strong', trimDb: need.trimDb } : null,
    need.restorationDb > 0 ? { code: 'bass is missing', db: need.restorationDb } : null,
    need.restorationKnown ? null : { code: 'loss not known yet' },
    plain && need.restorationKnown
      ? isNotMeasurable(need.rating)
        ? { code: 'speaker-level inputs if they stand it' }
        : { code: 'speaker-level inputs rated for', volts: need.rating.value }
      : null,
    hasAmplifiers ? null : { code: 'no amplifiers given' },
  ];
  return items.filter((item) => item !== null);
}
