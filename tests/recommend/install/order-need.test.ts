import { describe, expect, it } from 'vitest';
import type { ChainTap } from '../../../src/model/chain.ts';
import { measured, notMeasurable } from '../../../src/model/measured.ts';
import type { Restoration } from '../../../src/recommend/bass/restoration.ts';
import type { Feed } from '../../../src/recommend/feeds/feed.ts';
import { orderNeed } from '../../../src/recommend/install/order-need.ts';
import { contextOf } from '../chain/context.ts';
import { feedOf, feedTapOf, tapOf } from './wired.ts';

describe('what the plan asks of the parts', () => {
  const need = (of: { feeds?: Feed[]; taps?: ChainTap[]; restoration?: object | null }) =>
    orderNeed(contextOf(), {
      feeds: of.feeds ?? [feedOf([feedTapOf('a')])],
      taps: of.taps ?? [tapOf({})],
      restoration: (of.restoration ?? null) as Restoration | null,
      delay: null,
    });

  it('is an input for each output, counted once, and what is done to them.', () => {
    const two = [feedOf([feedTapOf('a'), feedTapOf('b')]), feedOf([feedTapOf('a')])];
    expect(need({ feeds: two })).toMatchObject({
      inputs: 2,
      summing: false,
      delaySeconds: 0,
      trimDb: expect.closeTo(0, 9),
    });
    const treated = [
      feedOf([feedTapOf('a', { trimDb: -3 }), feedTapOf('b', { delaySeconds: 1e-4, trimDb: -1 })], {
        summed: true,
      }),
    ];
    expect(need({ feeds: treated })).toMatchObject({ summing: true, delaySeconds: 1e-4, trimDb: 3 });
  });

  it('is rated 1 dB above the loudest clean level, or for the rail where it is known.', () => {
    expect(need({}).rating).toEqual({
      value: expect.closeTo(8 * 10 ** (1 / 20), 6),
      plusMinus: expect.closeTo(0.4 * 10 ** (1 / 20), 6),
    });
    expect(need({}).worst).toMatchObject({ value: 8 });
    const railed = need({ taps: [tapOf({ mostVoltsPeak: 14.14 })] });
    expect(railed.rating).toMatchObject({ value: expect.closeTo(10, 2), plusMinus: expect.closeTo(0.5, 2) });
    expect(need({ taps: [tapOf({ mostVoltsPeak: 5 })] }).rating).toMatchObject({ value: 8 });
    const louder = [tapOf({}), tapOf({ tapId: 'b', voltsRms: measured({ value: 9, plusMinus: 0 }) })];
    expect(need({ feeds: [feedOf([feedTapOf('a'), feedTapOf('b')])], taps: louder }).worst).toMatchObject({
      value: 9,
    });
    // An output that is not in use does not count.
    expect(need({ taps: louder }).worst).toMatchObject({ value: 8 });
  });

  it('is not known where the volts of one are not.', () => {
    const unknown = tapOf({ voltsRms: notMeasurable({ code: 'volts not known' }) });
    expect(need({ taps: [unknown] }).rating).toEqual({ notMeasurable: { code: 'volts not known' } });
    expect(need({ taps: [] })).toMatchObject({
      rating: { notMeasurable: { code: 'no output in use' } },
      lineLevel: false,
    });
    expect(need({ taps: [tapOf({ level: 'line' })] }).lineLevel).toBe(true);
  });

  it('restores what is needed at the setting that is set, where that is more than is given.', () => {
    const restoration = (verdict: string, more: object = {}) => ({
      verdict,
      amountDb: 6,
      atHz: 50,
      toSetting: 30,
      frequencyHz: [31.6, 50.1, 79.4],
      settings: [{ setting: 30, neededDb: [12, 8, 3] }],
      ...more,
    });
    expect(need({ restoration: restoration('restore') }).restorationDb).toBe(8);
    expect(need({ restoration: restoration('restore', { amountDb: 9 }) }).restorationDb).toBe(9);
    expect(need({ restoration: restoration('restore', { toSetting: 20 }) }).restorationDb).toBe(6);
    expect(need({ restoration: restoration('none needed') })).toMatchObject({
      restorationDb: 0,
      restorationKnown: true,
    });
  });
});
