import { describe, expect, it } from 'vitest';
import {
  findPlateau,
  lowestAlike,
  plateauMean,
  plateauOfAnotherTap,
} from '../../../src/findings/bass/plateau.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { COUNT, level, levels } from './level-of.ts';

const settingsOf = (found: ReturnType<typeof findPlateau> | null) =>
  found === null
    ? null
    : isNotMeasurable(found)
      ? codeOf(found.notMeasurable)
      : found.map(({ setting }) => setting);

describe('a plateau', () => {
  it('is three settings and more within half a decibel, the longest of several.', () => {
    expect(settingsOf(findPlateau(levels(0, 0.2, 0.45, -3, -6)))).toEqual([10, 14, 18]);
    expect(settingsOf(findPlateau(levels(0, 0.3, 0.6, -3, -6)))).toBe('no three settings agree');
    expect(settingsOf(findPlateau(levels(4, 2, 0, 0, 0.1, 0, -3)))).toEqual([18, 22, 26, 30]);
    expect(settingsOf(findPlateau(levels(0, 0)))).toBe('too few settings for a plateau');
  });

  it('stretches as far as noise may have made it: 4.24 standard deviations of a level.', () => {
    const noisy = (third: number) => [level(10, 0, 0.3), level(14, 0, 0.3), level(18, third, 0.3)];
    // The mean over all frequencies has less noise: 0.3 over the root of their number.
    const most = 3 * Math.SQRT2 * (0.3 / Math.sqrt(COUNT));
    expect(settingsOf(findPlateau(noisy(Math.max(0.5, most) - 0.02)))).toEqual([10, 14, 18]);
    expect(settingsOf(findPlateau(noisy(Math.max(0.5, most) + 0.02)))).toBe('no three settings agree');
    expect(settingsOf(findPlateau(noisy(1.3)))).toBe('no three settings agree');
    // A setting that is not known at all frequencies has no mean: its frequencies count alone.
    const [, ...rest] = Array.from({ length: COUNT }, () => most + 0.02);
    const partly = [level(10, 0, 0.3), level(14, 0, 0.3), level(18, [null, ...rest], 0.3)];
    expect(settingsOf(findPlateau(partly))).toEqual([10, 14, 18]);
  });

  it('is the flatter of two that stand apart by 2 dB, and none where they do not.', () => {
    expect(settingsOf(findPlateau(levels(0, 0, 0, -6, -6, -6)))).toEqual([10, 14, 18]);
    expect(settingsOf(findPlateau(levels(6, 6, 6, 0, 0, 0)))).toEqual([22, 26, 30]);
    expect(settingsOf(findPlateau(levels(0, 0, 0, -1.9, -1.9, -1.9)))).toBe(
      'two ranges hold at different bass',
    );
    expect(settingsOf(findPlateau(levels(0, 0, 0, -2.1, -2.1, -2.1)))).toEqual([10, 14, 18]);
    // Neighbours that drift on into a third range do not make it another one: they overlap the longer.
    expect(settingsOf(findPlateau(levels(0, 0.1, 0.2, 0.45, 0.7, -6, -6, -6, -6, -6)))).toEqual([
      10, 14, 18, 22,
    ]);
    // The longer is no better than the flatter.
    expect(settingsOf(findPlateau(levels(0, 0, 0, -6, -6, -6, -6)))).toEqual([10, 14, 18]);
  });

  it('leaves out settings at which no bass is known to 0.35 dB.', () => {
    const unclear = [level(10, 0), level(14, 0, 0.36), level(18, 0), level(22, 0)];
    expect(settingsOf(findPlateau(unclear))).toEqual([10, 18, 22]);
    expect(settingsOf(findPlateau([level(10, 0), level(14, 0, 0.34), level(18, 0), level(22, 0)]))).toEqual([
      10, 14, 18, 22,
    ]);
  });

  it('is lent by another output where two settings of it agree here.', () => {
    const own = levels(0, 0.1, 3, 0);
    expect(settingsOf(plateauOfAnotherTap(own, [10, 14]))).toEqual([10, 14]);
    expect(plateauOfAnotherTap(own, [10])).toBeNull();
    expect(plateauOfAnotherTap(own, [10, 18])).toBeNull();
    expect(settingsOf(lowestAlike(own))).toEqual([10, 14]);
    expect(settingsOf(lowestAlike(levels(0, 3)))).toEqual([10]);
    expect(lowestAlike([])).toBeNull();
  });

  it('has a mean, as certain as its settings, less certain where they scatter by more.', () => {
    const quiet = plateauMean([level(10, 1, 0.3), level(14, 1, 0.3), level(18, 1, 0.3)], 0);
    expect(quiet).toEqual({ value: expect.closeTo(1, 9), sigma: expect.closeTo(0.3 / Math.sqrt(3), 9) });
    // 0, 0.2, 0.4: variance 0.04 over 3, beside a hundredth of a decibel of noise.
    const scattered = plateauMean(levels(0, 0.2, 0.4), 0);
    expect(scattered?.value).toBeCloseTo(0.2, 9);
    expect(scattered?.sigma).toBeCloseTo(Math.sqrt(0.04 / 3), 3);
    const [known, ...rest] = Array.from({ length: COUNT }, () => 0);
    expect(plateauMean([level(10, 0), level(14, [null, ...rest])], 0)).toBeNull();
    expect(plateauMean([level(10, 5)], 0)?.value).toBe(5);
    expect(known).toBe(0);
  });
});
