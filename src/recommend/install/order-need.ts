import { ratioOf } from '../../dsp/decibels.ts';
import type { ChainTap } from '../../model/chain.ts';
import { isNotMeasurable, type MeasuredOrReason, measured, notMeasurable } from '../../model/measured.ts';
import type { Restoration } from '../bass/restoration.ts';
import type { Feed } from '../feeds/feed.ts';
import type { PlanContext } from '../plan-context.ts';
import type { Delay } from '../seat/feed-delays.ts';

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

/** Whether something has to stand between these outputs and an amplifier, whatever their level. */
export function needsTreatment({
  summing,
  delaySeconds,
  trimDb,
  restorationDb,
  restorationKnown,
}: Need): boolean {
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
  const factor = isRailKnown(taps) ? 1 : ratioOf(INPUT_MARGIN_DB);
  return measured({ value: worst.value * factor, plusMinus: worst.plusMinus * factor });
}

function isRailKnown(taps: readonly ChainTap[]): boolean {
  return taps.length > 0 && taps.every(({ mostVoltsPeak }) => mostVoltsPeak !== null);
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
