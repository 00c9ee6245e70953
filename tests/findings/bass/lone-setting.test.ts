import { describe, expect, it } from 'vitest';
import type { BassLevels } from '../../../src/findings/bass/bass-levels.ts';
import type { BassDifference } from '../../../src/findings/bass/bass-onset.ts';
import { loneLoss } from '../../../src/findings/bass/lone-loss.ts';
import { withoutLoneSettings } from '../../../src/findings/bass/lone-setting.ts';
import { COUNT, level, levels } from './level-of.ts';

const without = (perSetting: BassLevels['perSetting']) => {
  const left = withoutLoneSettings({ perSetting, referenceTapId: null, lossesAtLeast: false, leftOut: [] });
  return {
    kept: left.perSetting.map(({ setting }) => setting),
    leftOut: left.leftOut.map(({ setting, reason }) => [setting, reason]),
  };
};
const lower = (setting: number) => ({ code: 'bass lower at one setting only', setting });

describe('a setting at which the bass alone is lower', () => {
  it('is left out where both neighbours have a decibel more.', () => {
    expect(without(levels(0, -1.1, 0, 0))).toEqual({ kept: [10, 18, 22], leftOut: [[14, lower(14)]] });
    expect(without(levels(0, -0.9, 0, 0)).leftOut).toEqual([]);
    // One frequency is enough; one neighbour is not, nor is an end.
    const deep = Array.from({ length: COUNT }, (_, i) => (i === 1 ? -3 : 0));
    expect(without(levels(0, deep, 0)).kept).toEqual([10, 18]);
    expect(without(levels(0, -3, -3, -3)).leftOut).toEqual([]);
    expect(without(levels(-3, 0, 0)).leftOut).toEqual([]);
    expect(without(levels(0, 0, -3)).leftOut).toEqual([]);
    const unknown = Array.from({ length: COUNT }, () => null);
    expect(without(levels(0, -3, unknown, 0)).leftOut).toEqual([]);
  });

  it('stands 4.5 standard deviations of both clear.', () => {
    // 4.5 sqrt(2) 0.2 dB are 1.27 dB.
    const noisy = (db: number) =>
      without([level(10, 0, 0.2), level(14, db, 0.2), level(18, 0, 0.2)]).leftOut.length;
    expect([noisy(-1.25), noisy(-1.3)]).toEqual([0, 1]);
  });

  it('takes those above along where its neighbours differ by half a decibel and by half of what it stands out.', () => {
    // Lower by 1.5 dB than the upper neighbour, which is 1 dB below the lower one: either was moved.
    expect(without(levels(0, -2.5, -1, -1))).toEqual({
      kept: [10],
      leftOut: [
        [14, lower(14)],
        [18, lower(14)],
        [22, lower(14)],
      ],
    });
    // By more than twice of it: it was moved alone.
    expect(without(levels(0, -3.1, -1, -1)).kept).toEqual([10, 18, 22]);
    expect(without(levels(0, -1.9, -0.4, -0.4)).kept).toEqual([10, 18, 22]);
    expect(without(levels(-1, -2.5, 0, 0)).kept).toEqual([10]);
  });
});

describe('a loss that one take alone shows', () => {
  const difference = (setting: number, db: (number | null)[], count = 1) =>
    ({
      level: { setting, measurement: { repeats: { count } } },
      changes: db.map((value) => (value === null ? null : { value, sigma: 0.1 })),
    }) as unknown as BassDifference;
  const lone = (db: (number | null)[], of: { lastIntact?: number; count?: number } = {}) => {
    const { lastIntact = 28, count } = of;
    const above = [difference(20, [0, 0]), difference(lastIntact, [0, 0]), difference(30, db, count)];
    return loneLoss(above, { lastIntact, firstChanged: 30, tapId: 'a' });
  };

  it('is in doubt from 3 dB on, or from a decibel a step, and is told in whole decibels.', () => {
    expect(lone([-3.6, -1])).toEqual({
      kind: 'setting',
      reason: { code: 'one take alone shows the cut', settings: [30], lossDb: 4 },
      tapIds: ['a'],
      settings: [30],
    });
    expect([lone([-2.9, null]), lone([null, 2])]).toEqual([null, null]);
    expect([lone([-5.9], { lastIntact: 24 }), lone([-6.1], { lastIntact: 24 })?.settings]).toEqual([
      null,
      [30],
    ]);
  });

  it('is none where it was recorded twice, or more settings show it.', () => {
    expect(lone([-9], { count: 2 })).toBeNull();
    const above = [difference(20, [0]), difference(26, [-9]), difference(30, [-9])];
    expect(loneLoss(above, { lastIntact: 20, firstChanged: 26, tapId: 'a' })).toBeNull();
    expect(loneLoss([], { lastIntact: 20, firstChanged: 26, tapId: 'a' })).toBeNull();
  });
});
