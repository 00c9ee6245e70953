import { describe, expect, it } from 'vitest';
import { measured } from '../../../src/model/measured.ts';
import { referenceLevelDb } from '../../../src/recommend/bass/reference-level.ts';
import { contextOf } from '../chain/context.ts';
import { gainDb, pair, type SyntheticTap } from '../synthetic.ts';

/** 8 V of 20 V at full scale at setting 30, 1 dB a setting. */
const LEVEL = 20 * Math.log10(8 / 20);
const edge = (value: number) => ({
  minus3Hz: measured({ value, plusMinus: 1 }),
  minus6Hz: measured({ value, plusMinus: 1 }),
});
const sub = (more: Partial<SyntheticTap> = {}) =>
  pair('subwoofer', { response: (hz) => gainDb(hz < 100 ? 0 : -60), ...more });
const levelOf = (taps: readonly SyntheticTap[], tapId: string, setting = 30) => {
  const context = contextOf({ taps });
  return referenceLevelDb(
    context,
    context.measurements.find((one) => one.tapId === tapId && one.setting === setting)!,
  );
};

describe('what bass is held against', () => {
  it('is the mean of a tap’s own decibels from 300 Hz to 3 kHz.', () => {
    expect(levelOf(pair('front'), 'front left')).toBeCloseTo(LEVEL, 6);
    // A decade in two halves, 948.7 Hz between them: one of them 6 dB lower.
    const halves = pair('front', {
      response: (hz) => gainDb(hz < 299 || hz > 3001 ? 40 : hz < 300 * Math.sqrt(10) ? -6 : 0),
    });
    expect(levelOf(halves, 'front left')).toBeCloseTo(LEVEL - 3, 1);
  });

  it('is another tap’s where it ends below: of its own take, else by that tap’s law.', () => {
    const taps = [...sub(), ...pair('front', { response: () => gainDb(-4) })];
    expect(levelOf(taps, 'subwoofer left')).toBeCloseTo(LEVEL - 4, 6);
    expect(levelOf(taps, 'subwoofer left', 25)).toBeCloseTo(LEVEL - 9, 6);
    // The law of the synthetic tap is that of its volts, without its response.
    const apart = [...sub(), ...pair('front', { response: () => gainDb(-4), timeOrigin: 'another file' })];
    expect(levelOf(apart, 'subwoofer left')).toBeCloseTo(LEVEL, 6);
    expect(levelOf(sub(), 'subwoofer left')).toBeNull();
    const woofers = pair('front', {
      response: (hz) => gainDb(hz < 800 ? 0 : -60),
      band: { highEdge: edge(800) as never },
    });
    expect(levelOf([...woofers, ...pair('rear', { response: () => gainDb(-7) })], 'front left')).toBeCloseTo(
      LEVEL - 7,
      6,
    );
  });

  it('is that of one which carries the middle: from below 300 Hz to above 1.5 kHz.', () => {
    const beside = (band: object) =>
      levelOf(
        [
          ...sub(),
          ...pair('front', { response: () => gainDb(-4), band: band as NonNullable<SyntheticTap['band']> }),
        ],
        'subwoofer left',
      );
    expect(beside({ highEdge: edge(1600) })).toBeCloseTo(LEVEL - 4, 6);
    expect(beside({ highEdge: edge(1400) })).toBeNull();
    expect(beside({ lowEdge: edge(290) })).toBeCloseTo(LEVEL - 4, 6);
    expect(beside({ lowEdge: edge(310) })).toBeNull();
  });
});
