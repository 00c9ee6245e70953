import type { Chain, ChainTap } from '../../model/chain.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { bandText, tapTrimText } from './drawing-words.ts';

/** Volts that nobody would call different. */
const ALIKE_RATIO = 1.05;

/**
 * Outputs that a brief drawing shows as one: left and right of one place, with the same band and volts, that the plan uses
 * alike. Which side is swapped may differ.
 *
 * @returns ids by the first of each pair; outputs that stand alone are lists of one
 */
export function pairsOf(chain: Chain): ChainTap[][] {
  const pairs: ChainTap[][] = [];
  for (const tap of chain.taps) {
    const pair = pairs.find(([first, ...others]) => others.length === 0 && isPair(first, tap, chain));
    if (pair === undefined) pairs.push([tap]);
    else pair.push(tap);
  }
  return pairs;
}

function isPair(a: ChainTap, b: ChainTap, chain: Chain): boolean {
  return (
    a.side !== 'both' &&
    b.side !== 'both' &&
    a.side !== b.side &&
    a.position === b.position &&
    bandText(a.bandHz) === bandText(b.bandHz) &&
    haveOneLevel(a, b) &&
    useOf(a, chain) === useOf(b, chain)
  );
}

function haveOneLevel({ voltsRms: a }: ChainTap, { voltsRms: b }: ChainTap): boolean {
  if (isNotMeasurable(a) || isNotMeasurable(b)) return isNotMeasurable(a) && isNotMeasurable(b);
  return Math.max(a.value, b.value) <= ALIKE_RATIO * Math.min(a.value, b.value);
}

/** What the feeds do with an output, whichever its side. */
function useOf(tap: ChainTap, { feeds }: Chain): string {
  return JSON.stringify(
    feeds.map(({ sides }) =>
      sides.flatMap(({ side, taps, summed }) =>
        taps
          .filter(({ tapId }) => tapId === tap.tapId)
          .map((own) => [side === 'both', summed, taps.length, tapTrimText(own)]),
      ),
    ),
  );
}
