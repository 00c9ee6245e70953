import type { Flatness } from '../../model/recommendation.ts';
import type { Feed } from './feed.ts';
import type { ScoredSum } from './sum-cost.ts';

const MOST_RUNNERS_UP = 4;
/** A dip that a listener hears as a hole (common practice). */
const AUDIBLE_DIP_DB = -3;
/** Sums less than this apart sound alike. */
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

/** A sum in an installer's words. */
export function sumWords({ taps, dipDb }: ScoredSum): string {
  if (taps.length === 1) return `${taps[0].tapId} alone is the most even that there is`;
  const names = taps.map(({ tapId }) => tapId).join(' and ');
  const inverted = taps.filter(({ polarity }) => polarity === 'inverted').map(({ tapId }) => tapId);
  const delayed = taps.filter(({ delaySeconds }) => delaySeconds > 0);
  return [
    `${names} together carry the whole band`,
    ...(inverted.length > 0 ? [`${inverted.join(' and ')} inverted, or they cancel where they meet`] : []),
    ...delayed.map(
      ({ tapId, delaySeconds }) => `${tapId} delayed by ${Math.round(delaySeconds * 1e6)} microseconds`,
    ),
    ...(dipDb < AUDIBLE_DIP_DB ? [`a dip of ${(-dipDb).toFixed(1)} dB remains`] : []),
  ].join('; ');
}

function lostBecause(sum: ScoredSum, best: ScoredSum): string {
  if (sum.dipDb < best.dipDb + AUDIBLE_DIP_DB)
    return `the taps cancel: a dip of ${(-sum.dipDb).toFixed(1)} dB`;
  if (sum.rmsDb > best.rmsDb + ALIKE_DB) {
    return sum.taps.length < best.taps.length
      ? 'part of the band is missing'
      : `less even by ${(sum.rmsDb - best.rmsDb).toFixed(1)} dB`;
  }
  if (sum.taps.length > best.taps.length) return 'more taps for nothing gained';
  return 'no better, and more to set';
}
