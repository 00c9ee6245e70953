import { describe, expect, it } from 'vitest';
import type { Chain, ChainFeed } from '../../src/model/chain.ts';
import { gridFrequencyHz, valueAt } from '../../src/model/frequency-grid.ts';
import { chainOf, plannedFeeds } from '../../src/verify/planned-feed.ts';
import { exactPlan, FRONT_VOLTS, LINE_VOLTS, RADIO_VOLTS, SUB_VOLTS } from './exact-install.ts';
import { pointAt } from './exact-recordings.ts';

const plan = exactPlan();
const solved = chainOf(plan);
/** The plan's feeds, its chain being what is left of it after `change`. */
const feedsOf = (change: (feed: ChainFeed) => ChainFeed = (feed) => feed) => {
  const chain: Chain = { ...solved, feeds: solved.feeds.map(change) };
  const [left, right, subwoofer] = plannedFeeds({ ...plan, chain });
  return { left, right, subwoofer };
};
const { left, right, subwoofer } = feedsOf();

describe('what a plan asks to be heard behind the install', () => {
  it('is one feed a side, with its gains to the line and to the amplifier’s output, by the volts of each.', () => {
    expect([left, right, subwoofer].map(({ feed }) => feed.id)).toEqual([
      'feed-front-left',
      'feed-front-right',
      'feed-subwoofer',
    ]);
    expect(left.gain('converter output')).toBeCloseTo(LINE_VOLTS / RADIO_VOLTS, 6);
    expect(left.gain('amplifier output')).toBeCloseTo(FRONT_VOLTS / RADIO_VOLTS, 6);
    expect(left.target('amplifier output')).toMatchObject({ toneHz: expect.any(Number), setting: 32 });
    expect(left).toMatchObject({
      tolerancePercent: 5,
      relativePlusMinus: 0.01,
      restores: false,
      inverted: false,
      amplifier: { gainOverlapDb: 0, fullOutputVoltsRms: expect.closeTo(FRONT_VOLTS, 6) },
      filters: [{ type: 'high-pass', cornerHz: 80, state: 'set' }],
    });
    expect(subwoofer).toMatchObject({
      restores: true,
      amplifier: { fullOutputVoltsRms: expect.closeTo(SUB_VOLTS, 6) },
    });
    expect(subwoofer.filters.map(({ type }) => type)).toContain('low-pass');
  });

  it('has the volts of its output, 1 dB a setting, with its equaliser in, and restoration apart.', () => {
    const volts = (feed: typeof left, hz: number, setting = 32) => valueAt(feed.volts(setting)!, hz);
    expect(volts(left, 1000)).toBeCloseTo(RADIO_VOLTS, 1);
    expect(volts(left, 1000, 20)).toBeCloseTo(RADIO_VOLTS / 10 ** (12 / 20), 1);
    const peak = { shape: 'peak', frequencyHz: 1000, gainDb: -6, q: 4 } as const;
    const equalized = feedsOf((feed) => ({
      ...feed,
      sides: feed.sides.map((side) => ({ ...side, equalizer: [peak] })),
    }));
    expect(volts(equalized.left, 1000) / volts(left, 1000)).toBeCloseTo(10 ** (-6 / 20), 3);
    expect(volts(equalized.left, 60) / volts(left, 60)).toBeCloseTo(1, 2);
    // Of the 8 dB that are lost at the top setting most is put back at 40 Hz, nothing where nothing is lost.
    expect(valueAt(subwoofer.boostDb(32), 40)).toBeGreaterThan(7);
    expect(Math.max(...subwoofer.boostDb(12))).toBeLessThan(0.1);
    expect(Math.max(...left.boostDb(32))).toBe(0);
  });

  it('comes later by what it waits: a quarter of a turn at 250 Hz for 1 ms, and one side plays one side.', () => {
    const waits = feedsOf((feed) => ({
      ...feed,
      sides: feed.sides.map((side) => ({ ...side, waitsSeconds: 0.001 })),
    }));
    const i = pointAt(250);
    const quarters = gridFrequencyHz[i] / 1000;
    const spectrum = (of: typeof left, programme: 'left' | 'right') => of.spectrum(32, programme)!;
    const { real, imag } = spectrum(left, 'left');
    const late = spectrum(waits.left, 'left');
    const turn = Math.atan2(late.imag[i], late.real[i]) - Math.atan2(imag[i], real[i]);
    expect(turn).toBeCloseTo(-2 * Math.PI * quarters, 6);
    expect(Math.hypot(late.real[i], late.imag[i])).toBeCloseTo(Math.hypot(real[i], imag[i]), 9);
    const other = spectrum(left, 'right');
    expect(Math.hypot(other.real[i], other.imag[i])).toBeLessThan(1e-9);
  });

  it('is turned round where the filters ask for it, and has no target, gain or filter that the chain lacks.', () => {
    const changed = feedsOf((feed) => ({
      ...feed,
      startWith: 'inverted',
      gains: null,
      setting: null,
      nodes: [],
      filters: feed.filters.map((filter) => ({ ...filter, state: 'open' })),
    }));
    expect(changed.left).toMatchObject({
      inverted: true,
      filters: [],
      amplifier: null,
      tolerancePercent: 0,
      relativePlusMinus: 0,
    });
    expect([changed.left.gain('amplifier output'), changed.left.target('converter output')]).toEqual([
      null,
      null,
    ]);
  });
});
