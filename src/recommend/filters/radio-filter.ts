import type { FilterFamily } from '../../dsp/filter-prototype.ts';
import type { BandEdge } from '../../model/finding.ts';
import type { Feed } from '../feeds/feed.ts';
import { type PlanContext, roleOfTap } from '../plan-context.ts';

/** A filter that the radio has in front of a feed already. */
export interface RadioFilter {
  readonly cornerHz: number;
  /** Null where the slope was not told. */
  readonly slopeDbPerOctave: number | null;
  /** Null where the kind of filter was not told: the corner is then the -3 dB or -6 dB point. */
  readonly filter: { readonly family: FilterFamily; readonly order: number } | null;
}

/**
 * The radio's own filter at one end of a feed: of the tap that reaches furthest there. Null where that end is open, and where
 * it may be the recorder's own.
 */
export function radioFilter(
  context: PlanContext,
  feeds: readonly Feed[],
  type: 'high-pass' | 'low-pass',
): RadioFilter | null {
  const each = feeds.map((feed) => filterOfFeed(context, feed, type));
  const found = each.flatMap((one) => (one === 'open' ? [] : [one]));
  if (found.length === 0 || found.length < each.length) return null;
  // Left and right are alike: the one of which more is known speaks for both.
  return found.find(({ filter }) => filter !== null) ?? found[0];
}

function filterOfFeed(
  context: PlanContext,
  feed: Feed,
  type: 'high-pass' | 'low-pass',
): RadioFilter | 'open' {
  const edges = feed.taps.map(({ tapId }) => {
    const { band } = roleOfTap(context, tapId);
    const edge = type === 'high-pass' ? band?.lowEdge : band?.highEdge;
    return edge == null || band?.lowEdgeMayBeRecorder === true ? null : edge;
  });
  if (edges.some((edge) => edge === null)) return 'open';
  const known = edges.flatMap((edge) => fromEdge(edge!) ?? []);
  const furthest = known.toSorted((a, b) =>
    type === 'high-pass' ? a.cornerHz - b.cornerHz : b.cornerHz - a.cornerHz,
  )[0];
  return furthest ?? fromCurve(feed, type) ?? 'open';
}

function fromEdge({ minus3Hz, minus6Hz, slopeDbPerOctave, filter }: BandEdge): RadioFilter | null {
  const slope = typeof slopeDbPerOctave === 'number' ? slopeDbPerOctave : null;
  if ('family' in filter) return { cornerHz: filter.cornerHz.value, slopeDbPerOctave: slope, filter };
  const point = [minus3Hz, minus6Hz].find((answer) => 'value' in answer);
  return point === undefined || !('value' in point)
    ? null
    : { cornerHz: point.value, slopeDbPerOctave: slope, filter: null };
}

/** An edge that no fit tells apart from EQ still ends the curve. */
function fromCurve({ programmes, side }: Feed, type: 'high-pass' | 'low-pass'): RadioFilter | null {
  const bandHz = programmes?.[side].bandHz;
  if (bandHz == null) return null;
  return { cornerHz: bandHz[type === 'high-pass' ? 0 : 1], slopeDbPerOctave: null, filter: null };
}
