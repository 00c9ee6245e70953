import type { Reason } from '../../model/reason.ts';
import type { Flatness } from '../../model/recommendation.ts';
import type { Feed } from './feed.ts';
import type { ScoredSum } from './sum-cost.ts';

/** More than that nobody reads (chosen here). */
const MOST_RUNNERS_UP = 4;
/** A dip that a listener hears as a hole (common practice). */
const AUDIBLE_DIP_DB = -3;
/** Sums less than this apart sound alike (common practice: a few tenths of a decibel are the least that is heard). */
const ALIKE_DB = 0.3;

/** What came after the best, each in its own way once, and why it lost. */
export function runnersUp(
  sums: readonly ScoredSum[],
  soundOf: (sum: ScoredSum) => Flatness | null,
): Feed['runnersUp'] {
  const [best, ...rest] = sums;
  return rest.slice(0, MOST_RUNNERS_UP).map((sum) => {
    const sound = soundOf(sum);
    return {
      taps: [...sum.taps],
      rippleDb: sound?.rippleDb ?? sum.rmsDb,
      worstDipDb: sum.dipDb,
      bandHz: sound?.bandHz ?? null,
      lostBecause: lostBecause(sum, best),
    };
  });
}

/** Why this sum: what its taps do together, what has to be done to them, what remains. */
export function sumReasons({ taps, dipDb }: ScoredSum, among: number): Reason[] {
  if (taps.length === 1)
    return [{ code: among > 1 ? 'the most even alone' : 'the only output there', tapId: taps[0].tapId }];
  const inverted = taps.filter(({ polarity }) => polarity === 'inverted').map(({ tapId }) => tapId);
  const delayed = taps.filter(({ delaySeconds }) => delaySeconds > 0);
  return [
    { code: 'taps carry the band together', tapIds: taps.map(({ tapId }) => tapId) },
    ...(inverted.length > 0 ? [{ code: 'crossed, or they cancel' as const, tapIds: inverted }] : []),
    ...delayed.map(({ tapId, delaySeconds }) => ({ code: 'delayed to add' as const, tapId, delaySeconds })),
    ...(dipDb < AUDIBLE_DIP_DB ? [{ code: 'a dip remains' as const, dipDb }] : []),
  ];
}

function lostBecause(sum: ScoredSum, best: ScoredSum): Reason {
  if (sum.dipDb < best.dipDb + AUDIBLE_DIP_DB) return { code: 'the taps cancel', dipDb: sum.dipDb };
  if (sum.rmsDb > best.rmsDb + ALIKE_DB) {
    return sum.taps.length < best.taps.length
      ? { code: 'part of the band is missing' }
      : { code: 'less even', byDb: sum.rmsDb - best.rmsDb };
  }
  if (sum.rippleDb > best.rippleDb + ALIKE_DB)
    return { code: 'less even', byDb: sum.rippleDb - best.rippleDb };
  if (sum.costDb < best.costDb) return { code: 'sides would differ' };
  return { code: sum.taps.length > best.taps.length ? 'more taps for nothing' : 'no better and more to set' };
}
