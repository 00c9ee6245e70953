import type { SeatDistance } from '../../model/equipment.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { Feed } from '../feeds/feed.ts';
import { tapArrival } from '../feeds/tap-arrival.ts';
import { findingsAbout, idsOf, type PlanContext, roleOfTap } from '../plan-context.ts';
import { FILL } from './feed-balance.ts';

export type Delay = AdviceOf<'delay'>;

/** Less than this is a few centimetres of the listener's head (common practice). */
const WORTH_A_DELAY_SECONDS = 1e-4;
/** Nobody buys a part that delays for less than 10 cm (common practice). */
const WORTH_A_PART_SECONDS = 3e-4;
/** At 20 degrees C, ISO 9613-1. */
const METRES_PER_SECOND = 343.2;

/** Which feed waits how long, so that all come together with the latest; null where nothing is apart, or nothing is known. */
export function feedDelays(context: PlanContext, feeds: readonly Feed[]): Delay | null {
  const distances = context.equipment?.seatDistances ?? [];
  const known = feeds.flatMap((feed) => {
    const seconds = arrivalSeconds(context, feed);
    return seconds === null ? [] : [{ feed, seconds }];
  });
  const metres = known.map(({ feed }) => distanceOf(distances, feed));
  const distancesCounted = metres.length > 0 && metres.every((one) => one !== null);
  const arrivals = known.map(({ feed, seconds }, i) => ({
    feed,
    seconds: seconds + (distancesCounted ? metres[i]! / METRES_PER_SECOND : 0),
  }));
  const fill = lateFill(arrivals);
  const latest = arrivals
    .filter((one) => !fill.includes(one))
    .reduce((best, one) => (one.seconds > best.seconds ? one : best), NEVER);
  const earliest = Math.min(...arrivals.map(({ seconds }) => seconds));
  const apart = latest.seconds - earliest;
  if (latest.feed === null || arrivals.length - fill.length < 2 || apart < WORTH_A_DELAY_SECONDS) return null;
  const by = whoDelays(context, worthSeconds(arrivals));
  const most =
    by === 'converter' ? context.equipment!.converter!.maximumDelaySeconds : Number.POSITIVE_INFINITY;
  return {
    kind: 'delay',
    id: 'delay',
    restsOn: idsOf(
      findingsAbout(
        context,
        'timing',
        known.flatMap(({ feed }) => feed.taps.map(({ tapId }) => tapId)),
      ),
    ),
    reasons: [
      { code: 'what is late stays', lateFeed: nameOf(latest.feed), bySeconds: apart },
      ...(fill.length === 0
        ? []
        : [{ code: 'rears fill in late' as const, bySeconds: fill[0].seconds - earliest }]),
      { code: distancesCounted ? 'distances are counted in' : 'distances are not known' },
      ...(feeds.some(({ output }) => output === 'subwoofer') ? [LOW_PASS_IS_LATE] : []),
      ...reasonsOfPart(context, by, apart),
      ...(by === 'converter' || by === 'nothing needed' ? [] : withoutDelay(context, latest.feed, apart)),
    ],
    by,
    distancesCounted,
    feeds: arrivals.map(({ feed: { output, side }, seconds }) => ({
      output,
      side,
      arrivesSeconds: seconds - earliest,
      delaySeconds: Math.min(most, Math.max(0, latest.seconds - seconds)),
    })),
    firstNullHz: by === 'converter' || by === 'nothing needed' ? null : 1 / (2 * apart),
  };
}

/** Rears so far behind the front fill in from there, as rears that are delayed by hand do: the front waits for none (common practice). */
function lateFill<One extends { readonly feed: Feed; readonly seconds: number }>(
  arrivals: readonly One[],
): One[] {
  const fronts = arrivals.filter(({ feed }) => feed.output === 'front');
  if (fronts.length === 0) return [];
  const front = Math.max(...fronts.map(({ seconds }) => seconds));
  return arrivals.filter(
    ({ feed, seconds }) => feed.output === 'rear' && seconds - front >= FILL.delaySeconds[0],
  );
}

/** A Linkwitz-Riley of order 4 is 2 sqrt(2) / (2 pi f) late at low frequencies (closed form of its group delay at 0 Hz). */
const LOW_PASS_HZ = 80;
const LOW_PASS_IS_LATE: Reason = {
  code: 'a low-pass is late by itself',
  cornerHz: LOW_PASS_HZ,
  seconds: Math.SQRT2 / (Math.PI * LOW_PASS_HZ),
};

const NEVER: { readonly feed: Feed | null; readonly seconds: number } = {
  feed: null,
  seconds: Number.NEGATIVE_INFINITY,
};

/** How long a feed is made to wait; nothing where no part that is given can do it. */
export function waitOf(delay: Delay | null, { output, side }: Feed): number {
  if (delay === null || delay.by !== 'converter') return 0;
  return delay.feeds.find((feed) => feed.output === output && feed.side === side)?.delaySeconds ?? 0;
}

/** What the plan's wait and, where they are counted in, the way to the seat make of a feed: by this they meet at the ear. */
export function lagOf({ equipment }: PlanContext, delay: Delay | null, feed: Feed): number {
  const metres = delay?.distancesCounted === true ? distanceOf(equipment?.seatDistances ?? [], feed) : null;
  return waitOf(delay, feed) + (metres ?? 0) / METRES_PER_SECOND;
}

/** When the last of its taps comes, against the reference tap; null where one of them is not known. */
function arrivalSeconds(context: PlanContext, { taps }: Feed): number | null {
  const each = taps.map(({ tapId, delaySeconds }) => {
    const own = tapArrival(context, tapId);
    return own === null ? null : own + delaySeconds;
  });
  return each.includes(null) ? null : Math.max(...each.map((seconds) => seconds!));
}

function distanceOf(distances: readonly SeatDistance[], { output, side }: Feed): number | null {
  const own = distances.filter(({ feeds }) => feeds === output);
  return (own.find((one) => one.side === side) ?? own.find((one) => one.side === 'both'))?.metres ?? null;
}

/** Rears may be late against the front; left against right, and front against subwoofer, nothing may. */
function worthSeconds(arrivals: readonly { readonly feed: Feed; readonly seconds: number }[]): number {
  const span = (own: readonly { readonly seconds: number }[]) => {
    const seconds = own.map((one) => one.seconds);
    return own.length === 0 ? 0 : Math.max(...seconds) - Math.min(...seconds);
  };
  const isRear = ({ feed }: { readonly feed: Feed }) => feed.output === 'rear';
  return Math.max(span(arrivals.filter(isRear)), span(arrivals.filter((one) => !isRear(one))));
}

function whoDelays({ equipment }: PlanContext, seconds: number): Delay['by'] {
  const converter = equipment?.converter;
  if (converter != null && converter.maximumDelaySeconds >= WORTH_A_DELAY_SECONDS) return 'converter';
  if (seconds < WORTH_A_PART_SECONDS) return 'nothing needed';
  return converter == null ? 'to order' : 'nothing';
}

function reasonsOfPart({ equipment }: PlanContext, by: Delay['by'], seconds: number): Reason[] {
  const converter = equipment?.converter;
  if (by === 'nothing needed') return [{ code: 'not worth a part that delays', seconds }];
  if (converter == null) return [{ code: 'a part that delays would do it', seconds }];
  const { name, maximumDelaySeconds } = converter;
  if (by === 'nothing') return [{ code: 'nothing here can delay', name }];
  return maximumDelaySeconds < seconds
    ? [{ code: 'delay ends before it is enough', name, mostSeconds: maximumDelaySeconds }]
    : [];
}

/** Other outputs of the same side that come with the rest, and where the crossovers must not lie. */
function withoutDelay(context: PlanContext, late: Feed, apart: number): Reason[] {
  const latest = arrivalSeconds(context, late)!;
  const others = context.taps.filter(
    ({ tapId, side, unfit, output }) =>
      !unfit &&
      side === late.side &&
      output !== 'subwoofer' &&
      roleOfTap(context, tapId).band?.verdict === 'full range' &&
      (tapArrival(context, tapId) ?? latest) < latest - apart / 2,
  );
  return [
    ...(others.length === 0
      ? []
      : [{ code: 'use outputs that agree' as const, tapIds: others.map(({ tapId }) => tapId) }]),
    { code: 'first null of the delay', hz: 1 / (2 * apart) },
  ];
}

function nameOf({ output, side }: Feed): string {
  return side === 'both' ? output : `${output} ${side}`;
}
