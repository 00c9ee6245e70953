import { mean } from '../../dsp/statistics.ts';
import type { BassLevel } from './bass-levels.ts';
import { isSteady } from './plateau.ts';

/** A cut has an onset: so many settings on one straight line are a law (chosen here). */
const FEWEST_SETTINGS = 4;

/**
 * The levels of a tap that is held against another, without a volume law of its own: its bass keeps its shape and goes up by
 * more or less with every step. Null where anything else changes.
 */
export function withoutOwnLaw(levels: readonly BassLevel[]): readonly BassLevel[] | null {
  if (levels.length < FEWEST_SETTINGS) return null;
  const dbPerStep = slope(
    levels.flatMap(({ setting, relative }) => {
      const known = relative.flatMap((level) => level?.value ?? []);
      return known.length === relative.length ? [{ setting, db: mean(known) }] : [];
    }),
  );
  const straightened = levels.map((level) => ({
    ...level,
    relative: level.relative.map((one) =>
      one === null ? null : { ...one, value: one.value - dbPerStep * level.setting },
    ),
  }));
  return isSteady(straightened) ? straightened : null;
}

/** Of the straight line with the least squares; 0 for fewer than two points. */
function slope(points: readonly { setting: number; db: number }[]): number {
  if (points.length < 2) return 0;
  const [x, y] = [mean(points.map(({ setting }) => setting)), mean(points.map(({ db }) => db))];
  const products = points.map(({ setting, db }) => (setting - x) * (db - y));
  const squares = points.map(({ setting }) => (setting - x) ** 2);
  return mean(products) / mean(squares);
}
