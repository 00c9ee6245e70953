import { describe, expect, it } from 'vitest';
import type { AdviceOf } from '../../../src/model/recommendation.ts';
import { type ChainFeedParts, chainFeed } from '../../../src/recommend/chain/chain-feed.ts';
import type { HighestClean } from '../../../src/recommend/chain/highest-clean-setting.ts';
import { bassDb } from './context.ts';
import { FULL, parts, solve } from './solved-parts.ts';

const { context, solved } = solve({ equipment: parts({ gainOverlapDb: 5, inputNoiseVolts: 2e-5 }) });
const filter = (part: object) =>
  ({
    output: 'front',
    type: 'high-pass',
    cornerHz: 80,
    slopeDbPerOctave: 24,
    shortfall: null,
    ...part,
  }) as AdviceOf<'filter'>;
const feedOf = (part: Partial<ChainFeedParts> = {}) =>
  chainFeed(context, {
    output: 'front',
    own: solved.feeds,
    solvedFeed: solved,
    noGains: [],
    clean: { limitingTapId: null } as HighestClean,
    restoration: null,
    boostDb: null,
    filters: [],
    equalizing: [],
    waitsSeconds: () => 0,
    startWith: 'inverted',
    ...part,
  });

describe('one feed of the chain', () => {
  it('says what is set on it: gains from the output on, amplifier, load, watts.', () => {
    expect(feedOf()).toMatchObject({
      output: 'front',
      direct: false,
      setting: 30,
      worstHz: 55,
      gains: {
        toLine: expect.closeTo(0.5, 9),
        toAmplifierOutput: expect.closeTo((0.5 * FULL * 10 ** 0.25) / 4, 6),
      },
      amplifier: { name: 'mains', channels: 1, ratedWatts: 75, ratedOhms: 4, gainOverlapDb: 5 },
      load: { ohms: 4, ratedWatts: 100 },
      wattsAtLoad: expect.closeTo(75, 6),
      bindingLimit: 'amplifier power',
      noise: { amplifierVolts: 2e-5, converterVolts: 50e-6 },
      restoration: null,
      noGains: [],
    });
    const straight = feedOf({ solvedFeed: { ...solved, direct: true } });
    expect(straight.gains).toMatchObject({ toLine: null, toAmplifierOutput: expect.any(Number) });
  });

  it('has no gains, and no figure that rests on them, where none may be set or no tone suits.', () => {
    const none = {
      gains: null,
      nodes: [],
      setting: null,
      worstHz: null,
      wattsAtLoad: null,
      bindingLimit: 'nothing',
    };
    expect(feedOf({ noGains: [{ code: 'volts not known' }] })).toMatchObject(none);
    expect(feedOf({ solvedFeed: { ...solved, knob: null } })).toMatchObject(none);
    expect(feedOf({ solvedFeed: null })).toMatchObject({
      ...none,
      noise: { converterVolts: 0, amplifierVolts: 0 },
      amplifier: null,
      load: null,
      clipsFirst: null,
    });
  });

  it('waits as long as its latest side, holds its own side’s equaliser, and lists its own filters.', () => {
    const waits = feedOf({ waitsSeconds: ({ side }) => (side === 'left' ? 0.002 : 0.001) });
    expect(waits.delaySeconds).toBe(0.002);
    expect(waits.sides.map(({ side, waitsSeconds }) => [side, waitsSeconds])).toEqual([
      ['left', 0.002],
      ['right', 0.001],
    ]);
    expect(feedOf({ own: [] }).delaySeconds).toBe(0);
    const band = { frequencyHz: 300, gainDb: -3, q: 2 };
    const equalizing = [
      { output: 'front', side: 'left', bands: [band] },
      { output: 'rear', side: 'right', bands: [band] },
    ] as unknown as AdviceOf<'equalizer'>[];
    expect(feedOf({ equalizing }).sides.map(({ equalizer }) => equalizer)).toEqual([
      [{ shape: 'peak', ...band }],
      [],
    ]);
    const filters = [filter({}), filter({ output: 'subwoofer' }), filter({ state: 'open', cornerHz: 60 })];
    expect(feedOf({ filters }).filters).toEqual([
      { type: 'high-pass', state: 'set', cornerHz: 80, slopeDbPerOctave: 24, shortfall: null },
      { type: 'high-pass', state: 'open', cornerHz: 60, slopeDbPerOctave: 24, shortfall: null },
    ]);
  });

  it('is turned round, and restored, only as a subwoofer.', () => {
    const restoring = {
      restoration: {
        verdict: 'restore',
        fromSetting: 25,
        amountDb: 6,
        atHz: 40,
      } as ChainFeedParts['restoration'],
      boostDb: (setting: number) => bassDb(setting > 25 ? 6 : 0),
    };
    expect(feedOf(restoring)).toMatchObject({ startWith: 'as wired', restoration: null });
    const subwoofer = feedOf({ ...restoring, output: 'subwoofer' });
    expect(subwoofer).toMatchObject({
      startWith: 'inverted',
      restoration: { fromSetting: 25, boostDb: 6, atHz: 40 },
    });
    expect(subwoofer.restoration!.settings.map(({ setting, boostDb }) => [setting, boostDb[20]])).toEqual([
      [20, 0],
      [25, 0],
      [30, 6],
      [35, 6],
    ]);
    expect(feedOf({ ...restoring, output: 'subwoofer', boostDb: null }).restoration).toBeNull();
    const steady = { ...restoring.restoration, verdict: 'none needed' } as ChainFeedParts['restoration'];
    expect(feedOf({ ...restoring, output: 'subwoofer', restoration: steady }).restoration).toBeNull();
  });
});
