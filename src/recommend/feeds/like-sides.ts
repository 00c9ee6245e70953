import { decibelsOfPower, powerRatioOf } from '../../dsp/decibels.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { FeedTap } from '../../model/recommendation.ts';
import type { TapRole } from '../plan-context.ts';
import { type SumSearch, scoreOf } from './search-sums.ts';
import { addUp, columnOf, type ScoredSum, type Total, thinned } from './sum-cost.ts';

/** What was found for one side of a feed. */
export interface SideSums {
  readonly search: SumSearch;
  /** Best first. */
  readonly sums: readonly ScoredSum[];
  /** The outputs that were looked at. */
  readonly taps: readonly TapRole[];
}

/**
 * What sides cost that are opposite in half of the band, decibels; levels that differ cost as unevenness does. A tweeter that is
 * turned over or turned down on one side moves the stage, which is worse than a decibel of ripple (chosen here; the tests show
 * what it does).
 */
const OPPOSITE_DB = 3;
/** Of each side so many of the best are tried with those of the other (chosen here; speed only). */
const MOST_TRIED = 6;
/** Where both are this far under their loudest there is nothing to compare (chosen here). */
const NOTHING_DB = -20;

/**
 * The sums of both sides; first those of each that are even and, as they come out, alike. Where one side has outputs that the
 * other has not, each has its best.
 */
export function likeSides(left: SideSums, right: SideSums): [readonly ScoredSum[], readonly ScoredSum[]] {
  if (placesOf(left) !== placesOf(right)) return [left.sums, right.sums];
  const mirrored = onSide(left.sums[0].taps, { from: left, to: right });
  if (mirrored !== null && isSame(mirrored, right.sums[0])) return [left.sums, right.sums];
  const [lefts, rights] = [tried(left, right), tried(right, left)].map((sums, i) =>
    sums.map((sum) => ({ sum, total: totalOf([left, right][i].search, sum.taps) })),
  );
  let best = { costDb: Number.POSITIVE_INFINITY, pair: [left.sums[0], right.sums[0]] };
  for (const one of lefts)
    for (const other of rights) {
      const costDb = one.sum.costDb + other.sum.costDb + unlikeDb(one.total, other.total);
      if (costDb < best.costDb) best = { costDb, pair: [one.sum, other.sum] };
    }
  return [firstOf(best.pair[0], left.sums), firstOf(best.pair[1], right.sums)];
}

/** The best of a side, and the best of the other as they would be on this. */
function tried(own: SideSums, other: SideSums): ScoredSum[] {
  const best = own.sums.slice(0, MOST_TRIED);
  const like = other.sums
    .slice(0, MOST_TRIED)
    .flatMap(({ taps }) => onSide(taps, { from: other, to: own }) ?? []);
  return [...best, ...like.filter((sum) => !best.some((known) => isSame(known, sum)))];
}

function onSide(
  taps: readonly FeedTap[],
  { from, to }: { readonly from: SideSums; readonly to: SideSums },
): ScoredSum | null {
  const others = taps.flatMap((tap): FeedTap[] => {
    const place = placeOf(from.taps.find(({ tapId }) => tapId === tap.tapId)!);
    const [one, ...more] = to.taps.filter((other) => placeOf(other) === place);
    return more.length > 0 ? [] : [{ ...tap, tapId: one.tapId }];
  });
  return others.length < taps.length ? null : scoreOf(to.search, others);
}

function placesOf({ taps }: SideSums): string {
  return taps.map(placeOf).sort().join(', ');
}

function placeOf({ output, position }: TapRole): string {
  return `${output} ${position}`;
}

function totalOf({ candidates, wantedHz }: SumSearch, taps: readonly FeedTap[]): Total {
  const frequencyHz = thinned(gridFrequencyHz, wantedHz);
  return addUp(
    taps.map((tap) => {
      const candidate = candidates.find(({ tapId }) => tapId === tap.tapId)!;
      return { tap, column: columnOf(candidate, wantedHz, frequencyHz) };
    }),
  );
}

/** 0 for two sums that are the same, or the same turned over as a whole. */
function unlikeDb(one: Total, other: Total): number {
  const powers = [one, other].map(({ real, imag }) => real.map((re, i) => re ** 2 + imag[i] ** 2 + 1e-20));
  const least = powers.map((power) => Math.max(...power) * powerRatioOf(NOTHING_DB));
  let [cosines, squares, count] = [0, 0, 0];
  powers[0].forEach((power, i) => {
    if (power < least[0] && powers[1][i] < least[1]) return;
    cosines += (one.real[i] * other.real[i] + one.imag[i] * other.imag[i]) / Math.sqrt(power * powers[1][i]);
    squares += decibelsOfPower(power / powers[1][i]) ** 2;
    count++;
  });
  return Math.sqrt(squares / count) + OPPOSITE_DB * (1 - Math.abs(cosines) / count);
}

function firstOf(chosen: ScoredSum, sums: readonly ScoredSum[]): readonly ScoredSum[] {
  return [chosen, ...sums.filter((sum) => !isSame(chosen, sum))];
}

function isSame(one: ScoredSum, other: ScoredSum): boolean {
  return JSON.stringify(one.taps) === JSON.stringify(other.taps);
}
