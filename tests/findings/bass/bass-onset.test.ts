import { describe, expect, it } from 'vitest';
import type { BassLevel } from '../../../src/findings/bass/bass-levels.ts';
import {
  type BassDifference,
  bassOnset,
  liftedUpTo,
  whyNotSteady,
} from '../../../src/findings/bass/bass-onset.ts';

const SIGMA = 0.05;
type Change = number | null | { value: number; sigma: number };

/** Changes at 40, 63, 80 and 100 Hz; one figure is meant for all four. */
function at(
  setting: number,
  changes: Change | readonly Change[],
  of: { limitedByAtMostDb?: number; atMostDb?: number } = {},
): BassDifference {
  const all = Array.isArray(changes)
    ? (changes as Change[])
    : ([changes, changes, changes, changes] as Change[]);
  return {
    level: { setting } as BassLevel,
    changes: all.map((change) => (typeof change === 'number' ? { value: change, sigma: SIGMA } : change)),
    atMostDb: all.map((change) => (change === null ? (of.atMostDb ?? null) : null)),
    limitedByAtMostDb: of.limitedByAtMostDb ?? 0,
  };
}

describe('where bass begins to fall', () => {
  it('is between the last setting within 0.5 dB and the first that is not, at the frequency that shows it best.', () => {
    expect(bassOnset([at(10, 0), at(20, -0.49), at(30, -0.51)], null)).toMatchObject({
      lastIntact: 20,
      firstChanged: 30,
      thresholdDb: 0.5,
      doubt: null,
    });
    expect(bassOnset([at(10, 0), at(20, -0.49)], null)).toBeNull();
    expect(bassOnset([at(10, -3), at(20, -3)], null)).toBeNull();
    expect(bassOnset([at(30, -3)], null)).toBeNull();
    expect(bassOnset([at(10, 0), at(20, [-2, -6, -4, -3])], null)?.atHz).toBe(63);
    const clear = [-4, { value: -6, sigma: 0.1 }, -2, -1] as const;
    expect(bassOnset([at(10, 0), at(20, clear)], null)?.atHz).toBe(40);
  });

  it('has to stand 4.5 standard deviations clear, those of every setting.', () => {
    const noisy = (value: number) =>
      bassOnset([at(10, { value: 0, sigma: 0.2 }), at(20, value)], null)?.thresholdDb ?? null;
    expect([noisy(-0.91), noisy(-0.89)]).toEqual([expect.closeTo(0.9, 9), null]);
  });

  it('is one where all later settings show at least half of it.', () => {
    const later = (value: number) =>
      bassOnset([at(10, 0), at(20, -2), at(30, value), at(40, -2)], null)?.firstChanged;
    expect([later(-0.26), later(-0.24)]).toEqual([20, 40]);
  });

  it('counts bass that sank into the noise by what is left at most.', () => {
    const sunk = (atMostDb: number) => bassOnset([at(10, 0), at(20, null, { atMostDb })], null);
    expect(sunk(-0.6)).toMatchObject({ lastIntact: 10, firstChanged: 20 });
    expect(sunk(-0.4)).toBeNull();
    expect(bassOnset([at(10, 0), at(20, null)], null)).toBeNull();
  });

  it('is in doubt where a limiter may have taken it: at every setting all but less than the threshold.', () => {
    const by = (limitedByAtMostDb: number) =>
      bassOnset([at(10, 0), at(20, -2, { limitedByAtMostDb })], null)?.doubt ?? null;
    expect([by(1.4), by(1.6)]).toEqual([null, { code: 'one drive only' }]);
    const one = bassOnset(
      [at(10, 0), at(20, -2, { limitedByAtMostDb: 2 }), at(30, -2, { limitedByAtMostDb: 0 })],
      null,
    );
    expect(one?.doubt).toBeNull();
  });

  it('prefers what is proven to what is clearer.', () => {
    const both = at(20, [-1, -8, -1, -1], { limitedByAtMostDb: 0 });
    expect(bassOnset([at(10, 0), { ...both, limitedByAtMostDb: 0.4 }], null)?.atHz).toBe(63);
    const sunk = { ...at(20, [-2, null, null, null], { atMostDb: -9 }), limitedByAtMostDb: 1.8 };
    expect(bassOnset([at(10, 0), sunk], null)).toMatchObject({ atHz: 63, doubt: null });
  });

  it('is one of level against another output where all bass falls alike, within 1 dB or the noise.', () => {
    const alike = (values: Change | readonly Change[]) =>
      bassOnset([at(10, 0), at(20, values)], 'front')?.doubt ?? null;
    const even = { code: 'all bass falls alike', referenceTapId: 'front' };
    expect(alike(-3)).toEqual(even);
    expect(alike([-3, -3, -3, -3.99])).toEqual(even);
    expect(alike([-3, -3, -3, -4.01])).toBeNull();
    expect(alike([{ value: -3, sigma: 0.3 }, -3, -3, -4.3])).toEqual(even);
    expect(bassOnset([at(10, 0), at(20, -3), at(30, null, { atMostDb: -9 })], 'front')?.doubt).toEqual(even);
    expect(bassOnset([at(10, 0), at(20, -3)], null)?.doubt).toBeNull();
  });
});

describe('bass that is lifted below the plateau', () => {
  it('is so up to the highest setting that shows 0.5 dB and 4.5 standard deviations.', () => {
    expect(liftedUpTo([at(4, 3), at(8, [0, 0, 0, 0.51]), at(12, 0.49)])).toBe(8);
    expect(liftedUpTo([at(4, -3), at(8, null)])).toBeNull();
    expect(liftedUpTo([at(4, { value: 0.89, sigma: 0.2 })])).toBeNull();
    expect(liftedUpTo([at(4, { value: 0.91, sigma: 0.2 })])).toBe(4);
  });
});

describe('bass that is not simply steady', () => {
  const why = (above: BassDifference[], below: BassDifference[] = []) => whyNotSteady({ above, below });

  it('is steady where no change counts and none could hide.', () => {
    expect(why([at(20, 0.3)], [at(10, -0.3)])).toBeNull();
    expect(why([at(20, 0.3)], [at(10, 3)])).toBeNull();
  });

  it('rises above the plateau or is lower below it, or drops at one setting only.', () => {
    const against = (setting: number) => ({ code: 'bass stands against the rest', setting });
    expect(why([at(20, 0), at(30, 0.6)])).toEqual(against(30));
    expect(why([at(20, 0)], [at(10, -0.6)])).toEqual(against(10));
    expect(why([at(20, 0.6)], [at(10, -0.6)])).toEqual(against(20));
    expect(why([at(20, -0.6), at(30, 0)])).toEqual({ code: 'bass lower at one setting only', setting: 20 });
  });

  it('may hide in noise: none is read, or 2 dB lie within two standard deviations.', () => {
    expect(why([at(20, 0), at(30, null)])).toEqual({ code: 'bass in the noise', setting: 30 });
    const hidden = { code: 'noise hides a change of 2 dB' };
    expect(why([at(20, { value: 0, sigma: 1.01 })])).toEqual(hidden);
    expect(why([at(20, { value: 0, sigma: 0.99 })])).toBeNull();
    expect(why([at(20, 0)], [at(10, { value: 0, sigma: 1.01 })])).toEqual(hidden);
    // Hum beside one frequency, 60 Hz beside 63: what is taken there is taken at 40 Hz first.
    const beside = { value: 1.6, sigma: 1.9 };
    expect(why([at(20, [0, beside, 0, 0]), at(30, 0)])).toBeNull();
    expect(why([at(20, [beside, 0, 0, 0]), at(30, 0)])).toEqual(hidden);
    expect(why([at(20, [null, beside, 0, 0]), at(30, 0)])).toEqual(hidden);
  });
});
