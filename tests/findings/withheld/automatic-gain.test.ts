import { describe, expect, test } from 'vitest';
import { followsLevel } from '../../../src/measure/recorder/follows-level.ts';

const spreads = (...dB: (number | null)[]) =>
  dB.map((spreadDb, i) => ({ setting: 10 * (i + 1), spreadDb, leadInExcessDb: null }));

describe('whether the gain follows the level by itself', () => {
  test('it does where quiet and loud steps differ from the lowest setting on, more the louder it gets', () => {
    expect(followsLevel(spreads(12, 17, 24))).toBe(true);
  });

  test('a limiter behind the volume control leaves the lowest setting alone', () => {
    expect(followsLevel(spreads(0.1, 0.1, 9))).toBe(false);
  });

  test('one before the volume control takes the same at every setting', () => {
    expect(followsLevel(spreads(9, 9.1, 9))).toBe(false);
  });

  test('wander of a few tenths, and takes without a ladder, say nothing', () => {
    expect(followsLevel(spreads(0.4, 0.6))).toBe(false);
    expect(followsLevel(spreads(null, null))).toBe(false);
    expect(followsLevel([])).toBe(false);
  });

  const leadIns = (...dB: (number | null)[]) =>
    dB.map((leadInExcessDb, i) => ({ setting: 10 * (i + 1), spreadDb: null, leadInExcessDb }));

  test('without ladders, a quiet lead-in that is lifted at some settings tells it', () => {
    expect(followsLevel(leadIns(0, 7, 13))).toBe(true);
    expect(followsLevel(leadIns(0, 0, 3.1))).toBe(true);
    expect(followsLevel(leadIns(12, 12, 12))).toBe(true);
  });

  test('a room lifts it alike at every setting, noise by half a decibel, and a mute takes it away', () => {
    expect(followsLevel(leadIns(2.5, 2.4, 2.6))).toBe(false);
    expect(followsLevel(leadIns(0.5, -0.5, 0.3))).toBe(false);
    expect(followsLevel(leadIns(-11, 0, 0))).toBe(false);
  });
});
