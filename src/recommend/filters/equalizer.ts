import { evaluateOnGrid, peakingSections } from '../../dsp/filter-prototype.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import type { Feed } from '../feeds/feed.ts';
import { FULL_RANGE_HZ, flatnessOf } from '../feeds/flatness.ts';
import { findingsAbout, idsOf, type PlanContext } from '../plan-context.ts';

type Equalizer = RecommendationOf<'equalizer'>;
type Band = Equalizer['bands'][number];

/** A dip is not filled further than this: the amplifier pays for it (common practice). */
const MOST_BOOST_DB = 6;
/** Smaller bumps are left (common practice: below what is heard in a car). */
const WORTH_A_BAND_DB = 1;

/** For feeds of one tap whose fixed EQ was fitted, where a processor with bands is at hand: the same bands the other way. */
export function equalizers(context: PlanContext, feeds: readonly Feed[]): Equalizer[] {
  const most = context.equipment?.converter?.eqBands ?? 0;
  return feeds.flatMap((feed) => {
    if (most === 0 || feed.sumDb === null || feed.output === 'subwoofer') return [];
    const findings = findingsAbout(
      context,
      'band',
      feed.taps.map(({ tapId }) => tapId),
    );
    const bands = undoing(
      findings.flatMap(({ fixedEq }) => fixedEq),
      most,
    );
    if (bands.length === 0 || findings.length > 1) return [];
    const before = Float64Array.from(feed.sumDb);
    const after = before.map((db, i) => db + bandsDb(bands)[i]);
    const ripple = (db: Float64Array) =>
      flatnessOf({ sumDb: db, withoutCancellationDb: db, wantedHz: FULL_RANGE_HZ }).rippleDb;
    return [
      {
        kind: 'equalizer' as const,
        id: `equalizer-${feed.output}-${feed.side}`,
        order: 0,
        restsOn: idsOf(findings),
        reasons: ['the radio’s fixed EQ, the other way round; dips are filled by no more than 6 dB'],
        output: feed.output,
        side: feed.side,
        bands,
        rippleBeforeDb: ripple(before),
        rippleAfterDb: ripple(after),
      },
    ];
  });
}

/** What the bands of an output add, decibels on the frequency grid; the louder side's where they differ. */
export function equalizerDb(items: readonly Equalizer[], output: Equalizer['output']): Float64Array {
  const own = items.filter((item) => item.output === output).map(({ bands }) => bandsDb(bands));
  const flat = new Float64Array(gridFrequencyHz.length);
  return own.length === 0 ? flat : flat.map((_, i) => Math.max(...own.map((db) => db[i])));
}

/** The largest first, as many as there are bands. */
function undoing(fixedEq: readonly Band[], most: number): Band[] {
  return fixedEq
    .filter(({ gainDb }) => Math.abs(gainDb) >= WORTH_A_BAND_DB)
    .sort((a, b) => Math.abs(b.gainDb) - Math.abs(a.gainDb))
    .slice(0, most)
    .map(({ frequencyHz, gainDb, q }) => ({ frequencyHz, gainDb: Math.min(MOST_BOOST_DB, -gainDb), q }));
}

function bandsDb(bands: readonly Band[]): Float64Array {
  const total = new Float64Array(gridFrequencyHz.length);
  for (const { frequencyHz: cornerHz, gainDb, q } of bands) {
    const { real, imag } = evaluateOnGrid(peakingSections({ gainDb, q }), {
      frequencyHz: gridFrequencyHz,
      cornerHz,
      sampleRateHz: null,
    });
    for (let i = 0; i < total.length; i++) total[i] += 10 * Math.log10(real[i] ** 2 + imag[i] ** 2);
  }
  return total;
}
