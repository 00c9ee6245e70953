import type { BandEdge, FindingOf } from '../../model/finding.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import { isNotMeasurable, type Measured, measured } from '../../model/measured.ts';
import { allEvidence } from '../tap-series.ts';
import { bandEdge } from './band-edge.ts';
import { passBandLevelDb } from './band-level.ts';
import { bandCurve } from './band-points.ts';
import { type FittedTap, fittedRangeHz } from './fitted-tap.ts';

type Crossover = FindingOf<'crossover'>;

/** Edges this close belong together: two thirds of an octave spans a deliberate gap or overlap (common practice). */
const LARGEST_GAP_OCTAVES = 2 / 3;

/**
 * Pairs of a low-passed and a high-passed tap of the same programme that meet: Linkwitz-Riley filters at their -6 dB
 * points, Butterworth and Bessel filters at their -3 dB points. Their crossover frequency is where both are equally far
 * below their own pass bands.
 */
export function findCrossovers(taps: readonly FittedTap[]): Crossover[] {
  const edges = taps.map((tap) => ({ tap, low: bandEdge(tap, 'low'), high: bandEdge(tap, 'high') }));
  return edges.flatMap((lower) =>
    edges.flatMap((upper) => {
      if (lower === upper || lower.high === null || upper.low === null) return [];
      if (!shareProgramme(lower.tap, upper.tap)) return [];
      const ends = nearestEnds(lower.high, upper.low);
      if (ends === null) return [];
      return [crossover({ lowTap: lower.tap, highTap: upper.tap, ...ends })];
    }),
  );
}

/** The pair of like points (-3 or -6 dB) that lie nearest each other; null where even those are far apart. */
function nearestEnds(lower: BandEdge, upper: BandEdge): { lowEnd: Measured; highEnd: Measured } | null {
  const [nearest] = (['minus3Hz', 'minus6Hz'] as const)
    .flatMap((point) => {
      const [lowEnd, highEnd] = [lower[point], upper[point]];
      if (isNotMeasurable(lowEnd) || isNotMeasurable(highEnd)) return [];
      return [{ lowEnd, highEnd, gapOctaves: Math.abs(Math.log2(highEnd.value / lowEnd.value)) }];
    })
    .sort((a, b) => a.gapOctaves - b.gapOctaves);
  return nearest === undefined || nearest.gapOctaves > LARGEST_GAP_OCTAVES
    ? null
    : { lowEnd: nearest.lowEnd, highEnd: nearest.highEnd };
}

/** A tap of both sides meets either. */
function shareProgramme(one: FittedTap, other: FittedTap): boolean {
  const both = 'left and right';
  return one.carries === other.carries || one.carries === both || other.carries === both;
}

function crossover(of: {
  lowTap: FittedTap;
  highTap: FittedTap;
  lowEnd: Measured;
  highEnd: Measured;
}): Crossover {
  const { lowTap, highTap, lowEnd, highEnd } = of;
  const fallback = Math.sqrt(lowEnd.value * highEnd.value);
  const value = equalLevelHz(lowTap, highTap, fallback);
  // Each edge moves the crossing by half of its own uncertainty where the slopes are alike.
  const relative = 0.5 * Math.hypot(lowEnd.plusMinus / lowEnd.value, highEnd.plusMinus / highEnd.value);
  return {
    kind: 'crossover',
    id: `crossover:${lowTap.tapId}:${highTap.tapId}`,
    tapIds: [lowTap.tapId, highTap.tapId],
    evidence: allEvidence(
      [lowTap, highTap].flatMap(({ average }) => average.takes.map(({ measurement }) => measurement)),
    ),
    lowTapId: lowTap.tapId,
    highTapId: highTap.tapId,
    frequencyHz: measured({ value, plusMinus: value * relative }),
  };
}

/** Where both taps stand equally far below their own pass bands, nearest to a frequency. */
function equalLevelHz(lowTap: FittedTap, highTap: FittedTap, nearHz: number): number {
  const [low, high] = [lowTap, highTap].map((tap) => {
    const curve = bandCurve(tap.best);
    const level = passBandLevelDb(curve, fittedRangeHz(tap));
    return curve.levelDb.map((value) => value - level);
  });
  let best = nearHz;
  let distance = Number.POSITIVE_INFINITY;
  for (let i = 1; i < gridFrequencyHz.length; i++) {
    const [before, after] = [low[i - 1] - high[i - 1], low[i] - high[i]];
    if (before < 0 || after >= 0) continue;
    const hz =
      gridFrequencyHz[i - 1] * (gridFrequencyHz[i] / gridFrequencyHz[i - 1]) ** (before / (before - after));
    const away = Math.abs(Math.log(hz / nearHz));
    if (away < distance) [best, distance] = [hz, away];
  }
  return best;
}
