import { describe, expect, it } from 'vitest';
import type { BassLevel } from '../../../src/findings/bass/bass-levels.ts';
import { withoutOwnLaw } from '../../../src/findings/bass/own-law.ts';

/** Bass at four frequencies, each with a shape of its own beside the level. */
const levels = (db: readonly number[], shape: readonly number[] = [0, -1, -2, -4], step = 6) =>
  db.map(
    (level, i) =>
      ({
        setting: 8 + step * i,
        relative: shape.map((one) => ({ value: level + one, sigma: 0.01 })),
      }) as unknown as BassLevel,
  );

describe('a volume law of its own', () => {
  it('is taken out where the level goes up or down by the same at every step', () => {
    for (const perStep of [0.2, -0.3]) {
      const rising = levels([0, 6, 12, 18].map((steps) => perStep * steps));
      const straight = withoutOwnLaw(rising)!;
      for (const { relative } of straight) {
        // At setting 0 of that line: perStep times 8 lower than at 8.
        expect(relative[0]!.value).toBeCloseTo(-8 * perStep, 9);
        expect(relative[3]!.value).toBeCloseTo(-8 * perStep - 4, 9);
      }
    }
  });

  it('is none where the bass has an onset, changes its shape, or too few settings show it', () => {
    expect(withoutOwnLaw(levels([0, 0, -2, -4]))).toBeNull();
    expect(withoutOwnLaw(levels([0, -2, -4]))).toBeNull();
    const tilting = levels([0, 0, 0, 0]).map((level, i) => ({
      ...level,
      relative: level.relative.map((one, at) => ({ ...one!, value: one!.value + (at === 0 ? -1 : 1) * i })),
    }));
    expect(withoutOwnLaw(tilting)).toBeNull();
    // Within the width of a plateau a bend is none.
    expect(withoutOwnLaw(levels([0, 1.2, 2.6, 3.6]))).not.toBeNull();
  });
});
