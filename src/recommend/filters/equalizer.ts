import { bandsDb, type EqBand } from '../../dsp/eq-band.ts';
import { gridFrequencyHz, type RangeHz } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { Feed } from '../feeds/feed.ts';
import { FULL_RANGE_HZ, flatnessOf, INSIDE_EDGE_RATIO } from '../feeds/flatness.ts';
import { findingsAbout, idsOf, type PlanContext } from '../plan-context.ts';
import { shelfAgainst } from './shelf-against.ts';

type Equalizer = AdviceOf<'equalizer'>;

/** A dip is not filled further than this: the amplifier pays for it (common practice). */
const MOST_BOOST_DB = 6;
/** What lies within this is left (common practice). */
const WORTH_A_BAND_DB = 3;
/** A narrower dip is a notch: a boost into it only costs power (common practice). */
const NOTCH_Q = 3;

/**
 * For feeds whose shape is known, where a processor with bands is at hand and no factory speaker stays on them: what the radio
 * adds and takes, the other way round. Peaks against fitted humps first, then a shelf against a slope.
 */
export function equalizers(context: PlanContext, feeds: readonly Feed[]): Equalizer[] {
  const most = context.equipment?.converter?.eqBands ?? 0;
  return feeds.flatMap((feed) => {
    if (most === 0 || feed.sumDb === null || feed.output === 'subwoofer' || isFactory(context, feed))
      return [];
    const findings = findingsAbout(
      context,
      'band',
      feed.taps.map(({ tapId }) => tapId),
    );
    const before = Float64Array.from(feed.sumDb);
    // The bands of one tap are not those of a sum.
    const peaks =
      findings.length > 1 ? [] : undoing(findings.flatMap(({ fixedEq }) => fixedEq)).slice(0, most);
    const shelf = peaks.length < most ? shelfFor(feed, added(before, peaks)) : null;
    const bands = shelf === null ? peaks : [...peaks, shelf];
    if (bands.length === 0) return [];
    const headroomDb = Math.max(0, ...bandsDb(bands));
    return [
      {
        kind: 'equalizer' as const,
        id: `equalizer-${feed.output}-${feed.side}`,
        restsOn: idsOf(findings),
        reasons: reasonsFor(headroomDb),
        output: feed.output,
        side: feed.side,
        bands,
        headroomDb,
        rippleBeforeDb: rippleDb(before),
        rippleAfterDb: rippleDb(added(before, bands)),
      },
    ];
  });
}

/** What the bands of an output add, decibels on the frequency grid; the louder side's where they differ. */
export function equalizerDb(items: readonly Equalizer[], output: Equalizer['output']): Float64Array {
  const own = items
    .filter((item) => item.output === output)
    .map(({ bands }) => bandsDb(bands.map(({ shape = 'peak', ...band }) => ({ shape, ...band }))));
  const flat = new Float64Array(gridFrequencyHz.length);
  return own.length === 0 ? flat : flat.map((_, i) => Math.max(...own.map((db) => db[i])));
}

/** A factory speaker was voiced with the radio's own curve. */
function isFactory({ equipment }: PlanContext, { output }: Feed): boolean {
  return equipment?.speakers.some(({ feeds, factory }) => feeds === output && factory) ?? false;
}

function reasonsFor(headroomDb: number): Reason[] {
  return [
    { code: 'radio EQ undone', mostBoostDb: MOST_BOOST_DB },
    ...(headroomDb < 0.1 ? [] : [{ code: 'boost costs headroom' as const, db: headroomDb }]),
  ];
}

/** Cuts first, the largest first. */
function undoing(fixedEq: readonly { frequencyHz: number; gainDb: number; q: number }[]): EqBand[] {
  return fixedEq
    .filter(({ gainDb, q }) => Math.abs(gainDb) >= WORTH_A_BAND_DB && (gainDb > 0 || q <= NOTCH_Q))
    .toSorted((a, b) => b.gainDb - a.gainDb)
    .map(({ frequencyHz, gainDb, q }) => ({
      shape: 'peak',
      frequencyHz,
      gainDb: Math.min(MOST_BOOST_DB, -gainDb),
      q,
    }));
}

function shelfFor({ programmes, side }: Feed, levelDb: Float64Array): EqBand | null {
  const bandHz = programmes?.[side].bandHz;
  if (bandHz == null) return null;
  const inside: RangeHz = [
    Math.max(FULL_RANGE_HZ[0], bandHz[0] * INSIDE_EDGE_RATIO),
    Math.min(FULL_RANGE_HZ[1], bandHz[1] / INSIDE_EDGE_RATIO),
  ];
  return shelfAgainst(levelDb, { bandHz: inside, mostBoostDb: MOST_BOOST_DB, worthDb: WORTH_A_BAND_DB });
}

function added(levelDb: Float64Array, bands: readonly EqBand[]): Float64Array {
  const more = bandsDb(bands);
  return gridFrequencyHz.map((_, i) => levelDb[i] + more[i]);
}

function rippleDb(levelDb: Float64Array): number {
  return flatnessOf({ sumDb: levelDb, withoutCancellationDb: levelDb, wantedHz: FULL_RANGE_HZ }).rippleDb;
}
