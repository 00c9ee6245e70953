import type { ChainTap } from '../../model/chain.ts';
import type { Converter, Equipment } from '../../model/equipment.ts';
import { isNotMeasurable, type MeasuredOrReason, measured, notMeasurable } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { Restoration } from '../bass/restoration.ts';
import type { Feed } from '../feeds/feed.ts';
import { findingsAbout, idsOf, type PlanContext } from '../plan-context.ts';
import type { Delay } from '../seat/feed-delays.ts';
import type { Pad } from './pad.ts';
import { turnOnAdvice } from './turn-on.ts';

export type Order = AdviceOf<'order'>;

/** An input is to stand this much more than the loudest level recorded (common practice: meters, supply and tone controls wander). */
const INPUT_MARGIN_DB = 1;

/** What the plan asks of the parts between the outputs and the amplifiers. */
export interface Need {
  readonly inputs: number;
  /** The most that one of the outputs gives: its rail at the highest supply, else at the loudest setting recorded. */
  readonly worst: MeasuredOrReason;
  readonly rating: MeasuredOrReason;
  readonly lineLevel: boolean;
  readonly summing: boolean;
  /** The longest delay that an input is to have, seconds; 0 where nothing has to wait. */
  readonly delaySeconds: number;
  /** Most that one of the outputs is to be turned down before it is added, decibels. */
  readonly trimDb: number;
  readonly restorationDb: number;
  /** Whether it is known how much bass is lost; if not, nothing without restoration is ordered. */
  readonly restorationKnown: boolean;
}

export function orderNeed(
  context: PlanContext,
  {
    feeds,
    restoration,
    delay,
    taps,
  }: {
    feeds: readonly Feed[];
    restoration: Restoration | null;
    delay: Delay | null;
    taps: readonly ChainTap[];
  },
): Need {
  const feedTaps = feeds.flatMap((feed) => feed.taps);
  const tapIds = [...new Set(feedTaps.map(({ tapId }) => tapId))];
  const used = taps.filter(({ tapId }) => tapIds.includes(tapId));
  return {
    inputs: tapIds.length,
    worst: worstVolts(used),
    rating: ratingVolts(used),
    lineLevel: used.length > 0 && used.every(({ level }) => level === 'line'),
    summing: feeds.some(({ summed }) => summed),
    delaySeconds: longestDelay(feeds, delay),
    trimDb: -Math.min(0, ...feedTaps.map(({ trimDb }) => trimDb)),
    restorationDb: restoration?.verdict === 'restore' ? neededDb(restoration) : 0,
    restorationKnown:
      restoration === null || restoration.verdict !== 'cannot be told' || context.equipment === null,
  };
}

/** Within the sums, and between the feeds where a part for it is worth its price. */
function longestDelay(feeds: readonly Feed[], delay: Delay | null): number {
  const arrivals = delay === null || delay.by === 'nothing needed' ? [] : delay.feeds;
  const latest = Math.max(0, ...arrivals.map(({ arrivesSeconds }) => arrivesSeconds));
  return Math.max(
    0,
    ...feeds.flatMap((feed) => {
      const own = arrivals.find(({ output, side }) => output === feed.output && side === feed.side);
      const wait = own === undefined ? 0 : latest - own.arrivesSeconds;
      return feed.taps.map(({ delaySeconds }) => delaySeconds + wait);
    }),
  );
}

/** How the outputs reach the amplifiers without a converter; null where one has to stand between. */
export function directInto(equipment: Equipment | null, need: Need): 'line' | 'speaker' | null {
  const { rating, lineLevel, summing, delaySeconds, restorationDb } = need;
  if (equipment === null || equipment.amplifiers.length === 0 || equipment.converter !== null) return null;
  if (summing || delaySeconds > 0 || restorationDb > 0) return null;
  if (lineLevel) return 'line';
  if (isNotMeasurable(rating)) return null;
  return equipment.amplifiers.every(
    ({ speakerInputLimitVoltsRms: limit }) => limit !== null && limit >= rating.value,
  )
    ? 'speaker'
    : null;
}

/** What to buy, worked out from the feeds, the volts and the bass that is missing; or that what is there will do. */
export function orderSheet(
  context: PlanContext,
  {
    need,
    direct,
    pad,
    tapIds,
  }: { need: Need; direct: 'line' | 'speaker' | null; pad: Pad | null; tapIds: readonly string[] },
): Order {
  const { equipment } = context;
  const given =
    equipment?.converter == null
      ? null
      : { name: equipment.converter.name, shortfalls: shortfalls(equipment.converter, need, pad) };
  const straight = direct !== null || (need.lineLevel && !needsTreatment(need));
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
      direct: direct ?? (straight ? 'line' : null),
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
    load: need.lineLevel ? { code: 'no load at line level' } : { code: 'keep a load' },
    turnOn: turnOnAdvice(context, tapIds).use,
    given,
  };
}

function needsTreatment({ summing, delaySeconds, trimDb, restorationDb, restorationKnown }: Need): boolean {
  return summing || delaySeconds > 0 || trimDb > 0 || restorationDb > 0 || !restorationKnown;
}

/** What the strongest output gives however it is turned up: its rail, where that is known, else at the loudest setting recorded. */
function worstVolts(taps: readonly ChainTap[]): MeasuredOrReason {
  const missing = taps.find(({ voltsRms }) => isNotMeasurable(voltsRms));
  if (missing !== undefined) return missing.voltsRms;
  const known = taps.flatMap(({ voltsRms }) => (isNotMeasurable(voltsRms) ? [] : [voltsRms]));
  if (known.length === 0) return notMeasurable({ code: 'no output in use' });
  const clean = known.reduce((worst, volts) => (volts.value > worst.value ? volts : worst));
  const rails = taps.flatMap(({ mostVoltsPeak }) => (mostVoltsPeak === null ? [] : [mostVoltsPeak]));
  const loudest = taps.map(({ loudestVoltsRms }) => loudestVoltsRms ?? 0);
  const mostVolts = isRailKnown(taps) ? Math.max(...rails) / Math.SQRT2 : Math.max(...loudest);
  return mostVolts > clean.value
    ? measured({ value: mostVolts, plusMinus: (mostVolts * clean.plusMinus) / clean.value })
    : clean;
}

/** Past its rail an output cannot go, at whatever volume; without a known rail the clean level gets a margin. */
function ratingVolts(taps: readonly ChainTap[]): MeasuredOrReason {
  const worst = worstVolts(taps);
  if (isNotMeasurable(worst)) return worst;
  const factor = isRailKnown(taps) ? 1 : 10 ** (INPUT_MARGIN_DB / 20);
  return measured({ value: worst.value * factor, plusMinus: worst.plusMinus * factor });
}

function isRailKnown(taps: readonly ChainTap[]): boolean {
  return taps.length > 0 && taps.every(({ mostVoltsPeak }) => mostVoltsPeak !== null);
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
    direct,
    given,
    hasAmplifiers,
  }: { direct: 'line' | 'speaker' | null; given: Order['given']; hasAmplifiers: boolean },
): Reason[] {
  if (direct === 'line') return [{ code: 'straight into line inputs' }];
  if (direct === 'speaker') return [{ code: 'straight into speaker-level inputs' }];
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

function neededDb({ settings, frequencyHz, atHz, toSetting, amountDb }: Restoration): number {
  const top = settings.find(({ setting }) => setting === toSetting);
  if (top === undefined) return amountDb;
  const nearest = frequencyHz.reduce(
    (best, hz, i) => (Math.abs(hz - atHz) < Math.abs(frequencyHz[best] - atHz) ? i : best),
    0,
  );
  return Math.max(amountDb, top.neededDb[nearest]);
}
