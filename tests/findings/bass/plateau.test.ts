import { describe, expect, it } from 'vitest';
import type { BassLevel, BassLevels } from '../../../src/findings/bass/bass-levels.ts';
import {
  type BassDifference,
  bassOnset,
  liftedUpTo,
  whyNotSteady,
} from '../../../src/findings/bass/bass-onset.ts';
import { bendDb } from '../../../src/findings/bass/bend.ts';
import {
  commonBand,
  gridSpan,
  highestLevelDb,
  type LevelProfile,
  levelAround,
  meanLevel,
  strongestLevelDb,
  trustedPoints,
} from '../../../src/findings/bass/level-profile.ts';
import { withoutLoneSettings } from '../../../src/findings/bass/lone-setting.ts';
import { largestLoss, lossAtLeast } from '../../../src/findings/bass/loss-at-least.ts';
import {
  findPlateau,
  lowestAlike,
  plateauMean,
  plateauOfAnotherTap,
} from '../../../src/findings/bass/plateau.ts';
import { shelfDb } from '../../../src/findings/bass/shelf-fit.ts';
import { steadyOnlySoFar } from '../../../src/findings/bass/steady-so-far.ts';
import { BASS_FREQUENCIES_HZ, type FindingOf } from '../../../src/model/finding.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { isNotMeasurable, measured, notMeasurable } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';

const COUNT = BASS_FREQUENCIES_HZ.length;
/** The same bass against the middle at every frequency, or one value each; null where it is not known. */
function level(setting: number, db: number | (number | null)[], sigma = 0.01): BassLevel {
  const values = typeof db === 'number' ? Array.from({ length: COUNT }, () => db) : db;
  return {
    setting,
    relative: values.map((value) => (value === null ? null : { value, sigma })),
  } as unknown as BassLevel;
}
const levels = (...db: (number | (number | null)[])[]) => db.map((value, i) => level(10 + 4 * i, value));
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
    expect(settingsOf(findPlateau(noisy(1.3)))).toBe('no three settings agree');
  });

  it('is the flatter of two that stand apart by 2 dB, and none where they do not.', () => {
    expect(settingsOf(findPlateau(levels(0, 0, 0, -6, -6, -6)))).toEqual([10, 14, 18]);
    expect(settingsOf(findPlateau(levels(6, 6, 6, 0, 0, 0)))).toEqual([22, 26, 30]);
    expect(settingsOf(findPlateau(levels(0, 0, 0, -1.9, -1.9, -1.9)))).toBe(
      'two ranges hold at different bass',
    );
    expect(settingsOf(findPlateau(levels(0, 0, 0, -2.1, -2.1, -2.1)))).toEqual([10, 14, 18]);
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

/** Changes against the plateau, alike at all frequencies or one each. */
function difference(
  setting: number,
  db: number | (number | null)[],
  more: Partial<BassDifference> & { sigma?: number } = {},
): BassDifference {
  const { sigma = 0.05, ...rest } = more;
  return {
    level: level(setting, 0),
    changes: level(setting, db, sigma).relative,
    atMostDb: Array.from({ length: COUNT }, () => null),
    limitedByAtMostDb: 0,
    ...rest,
  };
}
const above = (...db: number[]) => db.map((value, i) => difference(20 + 4 * i, value));

describe('where bass begins to go', () => {
  it('is the first setting from which on half a decibel is lost and stays lost.', () => {
    expect(bassOnset(above(0, -0.3, -0.6, -3), null)).toMatchObject({
      lastIntact: 24,
      firstChanged: 28,
      thresholdDb: 0.5,
      doubt: null,
    });
    expect(bassOnset(above(0, 0, -0.4), null)).toBeNull();
    // Back to half of the threshold at the next setting: no onset there.
    expect(bassOnset(above(0, -0.6, -0.2, -3), null)).toMatchObject({ firstChanged: 32 });
    expect(bassOnset(above(0, -0.6, -0.3, -3), null)).toMatchObject({ firstChanged: 24 });
    expect(bassOnset(above(-3, -3), null)).toBeNull();
    expect(bassOnset(above(0), null)).toBeNull();
  });

  it('takes 4.5 standard deviations where noise is more than half a decibel’s ninth.', () => {
    const noisy = (db: number) =>
      bassOnset(
        [0, db].map((value, i) => difference(20 + 4 * i, value, { sigma: 0.4 })),
        null,
      );
    expect(noisy(-1.75)).toBeNull();
    expect(noisy(-1.85)).toMatchObject({ thresholdDb: expect.closeTo(1.8, 9) });
  });

  it('is told at the frequency that shows it most clearly.', () => {
    const only = (at: number) => Array.from({ length: COUNT }, (_, i) => (i === at ? -3 : -0.8));
    expect(bassOnset([difference(20, 0), difference(24, only(1))], null)?.atHz).toBe(BASS_FREQUENCIES_HZ[1]);
    expect(bassOnset([difference(20, 0), difference(24, only(2))], null)?.atHz).toBe(BASS_FREQUENCIES_HZ[2]);
  });

  it('cannot be laid to the volume where a limiter may have taken all of it.', () => {
    const limited = (limitedByAtMostDb: number) =>
      bassOnset([difference(20, 0), difference(24, -3, { limitedByAtMostDb })], null)?.doubt;
    expect(limited(2.4)).toBeNull();
    expect(codeOf(limited(2.6)!)).toBe('one drive only');
  });

  it('of an output held against another is level where all of its bass goes alike, within a decibel.', () => {
    const last = (spreadDb: number) => Array.from({ length: COUNT }, (_, i) => -4 - (i === 0 ? spreadDb : 0));
    const doubt = (spreadDb: number, reference: string | null) =>
      bassOnset([difference(20, 0), difference(24, last(spreadDb))], reference)?.doubt;
    expect(doubt(0.9, 'front')).toEqual({ code: 'all bass falls alike', referenceTapId: 'front' });
    expect(doubt(1.1, 'front')).toBeNull();
    expect(doubt(0.9, null)).toBeNull();
  });

  it('counts bass that sank into the noise by what is left at most.', () => {
    const none = Array.from({ length: COUNT }, () => null);
    const sunk = (atMost: number | null) =>
      bassOnset([difference(20, 0), difference(24, none, { atMostDb: none.map(() => atMost) })], null);
    expect(sunk(-6)).toMatchObject({ firstChanged: 24 });
    expect(sunk(-0.4)).toBeNull();
    expect(sunk(null)).toBeNull();
  });
});

describe('bass without an onset', () => {
  it('is lifted up to the highest setting that stands above the plateau.', () => {
    expect(liftedUpTo(above(3, 1, 0.2))).toBe(24);
    expect(liftedUpTo(above(0.4, -3))).toBeNull();
  });

  it('is not simply steady where it rises, drops once, hides, or noise is too much.', () => {
    const why = (below: BassDifference[], after: BassDifference[]) => {
      const reason = whyNotSteady({ below, above: after });
      return reason === null ? null : [codeOf(reason), (reason as { setting?: number }).setting];
    };
    expect(why([], above(0, 0.1, -0.2))).toBeNull();
    expect(why([], above(0, 0.6))).toEqual(['bass stands against the rest', 24]);
    expect(why([difference(12, -0.6)], above(0, 0))).toEqual(['bass stands against the rest', 12]);
    expect(why([difference(12, 0.6)], above(0, 0))).toBeNull();
    expect(why([], above(0, -0.6, 0))).toEqual(['bass lower at one setting only', 24]);
    const none = Array.from({ length: COUNT }, () => null);
    expect(why([], [difference(20, 0), difference(24, none)])).toEqual(['bass in the noise', 24]);
    expect(why([], [difference(20, 0, { sigma: 1.01 })])).toEqual([
      'noise hides a change of 2 dB',
      undefined,
    ]);
    expect(why([], [difference(20, 0, { sigma: 0.99 })])).toBeNull();
  });
});

describe('a lone setting', () => {
  const without = (...db: number[]) => {
    const of = {
      perSetting: levels(...db),
      leftOut: [],
      referenceTapId: null,
      lossesAtLeast: false,
    } as BassLevels;
    const found = withoutLoneSettings(of);
    return [found.perSetting.map(({ setting }) => setting), found.leftOut.map(({ setting }) => setting)];
  };

  it('is more than a decibel lower than both neighbours, and is left out.', () => {
    expect(without(0, -1.1, 0)).toEqual([[10, 18], [14]]);
    expect(without(0, -0.9, 0)).toEqual([[10, 14, 18], []]);
    expect(without(0, -3, -3)).toEqual([[10, 14, 18], []]);
    expect(without(-3, 0, 0)).toEqual([[10, 14, 18], []]);
    expect(without(0, 3, 0)).toEqual([[10, 14, 18], []]);
  });
});

describe('what is surely lost without a plateau', () => {
  const changes = (...rows: (number | null)[]): FindingOf<'bass-change'>['changes'] =>
    rows.map((db, i) => ({
      setting: 10 + 4 * i,
      changeDb: BASS_FREQUENCIES_HZ.map((_, at) =>
        db === null
          ? notMeasurable({ code: 'volts not known' })
          : measured({ value: at === 1 ? 2 * db : db, plusMinus: 0.1 }),
      ),
    }));

  it('is the largest loss of all, where and by how much.', () => {
    expect(largestLoss(changes(0, -2, -5, -4))).toEqual({
      toSetting: 18,
      atHz: BASS_FREQUENCIES_HZ[1],
      lossDb: { value: 10, plusMinus: 0.1 },
    });
    expect(largestLoss(changes(null))).toBeNull();
  });

  it('is told where bass still falls by half a decibel at the end and is no contour that ends.', () => {
    const atLeast = (db: number[], reference = 2) =>
      lossAtLeast({
        finding: { changes: changes(...db.map((one) => one - db[0])) },
        reference: levels(...db).slice(0, reference),
        levels: levels(...db),
      });
    expect(atLeast([0, -0.2, -2, -5])).toMatchObject({ fromSetting: 10, toSetting: 22 });
    expect(atLeast([1.2, 1, -3.4, -3.8])).toBeNull();
    expect(atLeast([1.2, 1, -3.2, -3.8])).not.toBeNull();
    // Two settings that are flat are what the radio does when it does nothing, whether it still falls at the end or not.
    expect(atLeast([0, -0.2, -4.6, -5])).not.toBeNull();
    expect(atLeast([0, -0.2, -1.2, -1.3])).toBeNull();
    expect(atLeast([0, -4.6, -5], 1)).toBeNull();
    // Begins 5 dB above the middle: how much of that a contour lifts, and takes back, nobody knows.
    expect(atLeast([5, 4.8, 2, -1])).toBeNull();
    expect(atLeast([5, 4.8, 2, -4])).toBeNull();
    // A middle 12 dB and more below the bass lies outside the band of a subwoofer output.
    expect(atLeast([22, 21.8, 20, 14])).not.toBeNull();
    expect(atLeast([22, 21.8, 20, 11.9])).toBeNull();
    expect(atLeast([22, 20, 14], 1)).toBeNull();
    expect(atLeast([2.5, 2.4, 1, -1])).not.toBeNull();
    // One low setting alone is a reference only where its response is even, within 6 dB.
    expect(atLeast([0, -2, -5], 1)).not.toBeNull();
    expect(atLeast([-7, -9, -12], 1)).toBeNull();
    expect(atLeast([0, -2], 1)).toBeNull();
    // More than any contour lifts needs two settings only (the helper doubles the loss at one frequency).
    expect(atLeast([0, -6.1], 1)).not.toBeNull();
    expect(atLeast([0, -5.9], 1)).toBeNull();
    expect(atLeast([5, -3.2], 1)).toBeNull();
  });
});

describe('bass that holds', () => {
  const finding = (verdict: string) =>
    ({
      verdict,
      changes: [{ setting: 20 }, { setting: 24 }],
      reason: null,
      recordNext: null,
    }) as unknown as FindingOf<'bass-change'>;

  it('holds so far only where louder settings are open.', () => {
    expect(steadyOnlySoFar(finding('steady'), [28, 32])).toMatchObject({
      verdict: 'cannot be told',
      reason: { code: 'steady only so far', upToSetting: 24, openSettings: [28, 32] },
      recordNext: 32,
    });
    expect(steadyOnlySoFar(finding('steady'), [24, 12]).verdict).toBe('steady');
    expect(steadyOnlySoFar(finding('falls with volume'), [28]).verdict).toBe('falls with volume');
  });
});

describe('levels on the grid', () => {
  const profile = (
    db: (hz: number) => number,
    trustedHz: [number, number] | null = [20, 10_000],
    sigma = 0.1,
  ): LevelProfile => ({
    levelDb: gridFrequencyHz.map(db),
    sigmaDb: gridFrequencyHz.map(() => sigma),
    trustedHz,
  });

  it('are read on a slope at the frequency itself: 12 dB an octave, at 100 Hz 12 dB above 50 Hz.', () => {
    const slope = profile((hz) => 12 * Math.log2(hz / 50));
    expect(levelAround(slope, 100)?.value).toBeCloseTo(12, 9);
    expect(levelAround(slope, 107)?.value).toBeCloseTo(12 * Math.log2(2.14), 6);
    expect(levelAround(slope, 19)).toBeNull();
    expect(levelAround(slope, 10_100)).toBeNull();
    expect(
      levelAround(
        profile(() => 0, null),
        100,
      ),
    ).toBeNull();
  });

  it('have the mean of their points, and its doubt: 4.7 points share their noise.', () => {
    const points = [100, 101, 102, 103, 104, 105, 106, 107, 108, 109];
    const mean = meanLevel(
      profile((hz) => (hz < gridFrequencyHz[105] ? 2 : 4)),
      points,
    );
    expect(mean).toEqual({ value: 3, sigma: expect.closeTo((0.1 * Math.sqrt(10 * 4.7)) / 10, 9) });
    expect(
      meanLevel(
        profile(() => 1),
        [100],
      ).sigma,
    ).toBeCloseTo(0.1, 9);
  });

  it('are strongest and highest within what is trusted, noise added.', () => {
    const peak = profile((hz) => (hz > 12_000 ? 20 : hz > 900 && hz < 1100 ? 6 : 0));
    expect(strongestLevelDb(peak)).toBe(6);
    expect(strongestLevelDb(profile(() => 0, null))).toBe(Number.NEGATIVE_INFINITY);
    // One standard deviation of 8.686 dB is as large as the level itself: twice it, and three times with two.
    const unsure = profile(() => 0, [20, 1000], 20 / Math.LN10);
    expect(highestLevelDb(unsure, { frequencyHz: 50, sigmas: 1 })).toBeCloseTo(6.0206, 4);
    expect(highestLevelDb(unsure, { frequencyHz: 50, sigmas: 2 })).toBeCloseTo(9.5424, 4);
  });

  it('lie in bands that meet, at least one point each.', () => {
    expect(commonBand([20, 200], [100, 1000])).toEqual([100, 200]);
    expect(commonBand([20, 100], [100, 1000])).toBeNull();
    expect(commonBand(null, [100, 1000])).toBeNull();
    expect(gridSpan([1000, 1000])).toEqual({ first: 320, last: 320 });
    expect(gridSpan([999, 1016])).toEqual({ first: 320, last: 321 });
    expect(gridSpan([1, 5])).toEqual({ first: 0, last: 0 });
    expect(trustedPoints(profile(() => 0, [1000, 1016]))).toEqual([320, 321]);
    expect(
      trustedPoints(
        profile(() => 0, [1000, 1016]),
        [1010, 5000],
      ),
    ).toEqual([321]);
  });

  it('of a change that bends are off by a 24th of the bend over a sixth of an octave.', () => {
    // A parabola a x^2 over points of the grid: its second difference over 8 points is 128 a.
    const of = (a: number, offset = 0) =>
      ({
        levels: { profile: profile((hz) => a * (160 * Math.log10(hz / 100)) ** 2 + offset) },
      }) as unknown as BassLevel;
    const flat = of(0, 3);
    expect(bendDb({ level: of(0.01), plateau: [flat, flat], frequencyHz: 100 })).toBeCloseTo(1.28 / 24, 9);
    expect(bendDb({ level: of(-0.01), plateau: [flat], frequencyHz: 100 })).toBeCloseTo(1.28 / 24, 9);
    expect(bendDb({ level: of(0.01), plateau: [of(0.01, 5), of(0.01)], frequencyHz: 100 })).toBeCloseTo(0, 9);
  });
});

it('a shelf has its depth far below, half of it in decibels at its frequency, nothing far above (closed form).', () => {
  const shelf = { frequencyHz: 100, gainDb: -8, q: Math.SQRT1_2 };
  expect(shelfDb(shelf, 1)).toBeCloseTo(-8, 3);
  expect(shelfDb(shelf, 100)).toBeCloseTo(-4, 9);
  expect(shelfDb(shelf, 10_000)).toBeCloseTo(0, 3);
  // A higher Q overshoots on both sides.
  expect(shelfDb({ ...shelf, q: 1.2 }, 200)).toBeGreaterThan(0.3);
  expect(shelfDb({ ...shelf, q: 1.2 }, 50)).toBeLessThan(-8.3);
});
