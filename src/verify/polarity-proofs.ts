import type { Proof } from '../model/verification.ts';
import { type FeedArrival, lowArrival, wideArrival } from './arrival.ts';
import type { FeedFit } from './feed-fit.ts';
import { proof } from './proof.ts';
import type { RecordedFeed } from './recorded-feed.ts';

export interface Judged {
  readonly recorded: RecordedFeed;
  readonly fit: FeedFit;
}

/** A centre image moves by what the ear hears as a difference of level (about 1 dB; from memory). */
const SIDES_TOLERANCE_DB = 1;
/** Half a period at 15 kHz is 33 microseconds: less does not cancel anything that is heard. */
const SIDES_TOLERANCE_MICROSECONDS = 30;
const MICRO = 1e6;

/** Polarity of every feed, and left against right, by feed. */
export function polarityProofs(judged: readonly Judged[]): Map<Judged, Proof[]> {
  const wide = new Map(judged.map((one) => [one, wideArrival(one.recorded, one.fit)]));
  const arrivals = new Map(
    judged.map((one) => {
      const own = wide.get(one) ?? null;
      // The sign of a narrow feed is told against a wide one of the same take.
      const beside = judged.flatMap((other) => wide.get(other) ?? []);
      return [one, own ?? first(beside, (arrival) => lowArrival(one.recorded, one.fit, arrival))];
    }),
  );
  const told = [...arrivals.values()].filter(
    (arrival) => arrival !== null && arrival.polarity !== 'ambiguous',
  );
  const allInverted = told.length > 1 && told.every((arrival) => arrival?.polarity === 'inverted');
  return new Map(
    judged.map((one) => [
      one,
      [polarityProof(one, arrivals.get(one) ?? null, allInverted), ...sideProofs(one, { judged, arrivals })],
    ]),
  );
}

function polarityProof({ recorded }: Judged, arrival: FeedArrival | null, allInverted: boolean): Proof {
  const base = { what: 'polarity' as const, setting: arrival?.setting ?? null };
  if (arrival === null || arrival.polarity === 'ambiguous') {
    const code = arrival === null ? 'polarity needs a reference' : 'polarity lies between';
    return proof({ ...base, verdict: 'not told', text: { code } });
  }
  const asPlanned = (arrival.polarity === 'inverted') === recorded.planned.inverted;
  if (asPlanned) return proof({ ...base, verdict: 'pass', text: { code: 'polarity as planned' } });
  if (allInverted) {
    return proof({
      ...base,
      verdict: 'pass',
      text: { code: 'every feed is inverted alike' },
    });
  }
  return proof({
    ...base,
    verdict: 'fail',
    knob: 'polarity',
    text: { code: 'polarity is wrong', inverted: arrival.polarity === 'inverted', node: recorded.node },
  });
}

/** Level and arrival of a right feed against its left one, where both are recorded at one node. */
function sideProofs(
  one: Judged,
  of: { judged: readonly Judged[]; arrivals: ReadonlyMap<Judged, FeedArrival | null> },
): Proof[] {
  const { feed } = one.recorded.planned;
  if (feed.side !== 'right') return [];
  const left = of.judged.find(
    ({ recorded: { planned, node } }) =>
      planned.feed.output === feed.output && planned.feed.side === 'left' && node === one.recorded.node,
  );
  if (left === undefined) return [];
  return [levelAgainst(one, left), ...delayAgainst(one, of.arrivals.get(one), of.arrivals.get(left))];
}

function levelAgainst(right: Judged, left: Judged): Proof {
  const found = right.fit.fit.gainDb - left.fit.fit.gainDb;
  const passes = Math.abs(found) <= SIDES_TOLERANCE_DB;
  return proof({
    what: 'left against right',
    verdict: passes ? 'pass' : 'fail',
    unit: 'dB',
    expected: 0,
    found,
    tolerance: SIDES_TOLERANCE_DB,
    knob: passes ? null : right.recorded.node === 'amplifier output' ? 'amplifier gain' : 'converter level',
    text: { code: 'right level against left', db: found, passes },
  });
}

function delayAgainst(
  right: Judged,
  arrival: FeedArrival | null | undefined,
  leftArrival: FeedArrival | null | undefined,
): Proof[] {
  if (arrival == null || leftArrival == null || arrival.timeOrigin !== leftArrival.timeOrigin) return [];
  const found = MICRO * (arrival.delaySeconds - leftArrival.delaySeconds);
  const passes = Math.abs(found) <= SIDES_TOLERANCE_MICROSECONDS;
  return [
    proof({
      what: 'left against right',
      verdict: passes ? 'pass' : 'fail',
      setting: arrival.setting,
      unit: 'microseconds',
      expected: 0,
      found,
      tolerance: SIDES_TOLERANCE_MICROSECONDS,
      knob: passes ? null : 'delay',
      text: {
        code: 'right arrival against left',
        microseconds: found,
        output: passes ? null : right.recorded.planned.feed.output,
      },
    }),
  ];
}

function first<Item, Answer>(items: readonly Item[], ask: (item: Item) => Answer | null): Answer | null {
  for (const item of items) {
    const answer = ask(item);
    if (answer !== null) return answer;
  }
  return null;
}
