import { describe, expect, test } from 'vitest';
import { followsLevel } from '../../src/findings/automatic-gain.ts';

const spreads = (...dB: (number | null)[]) => dB.map((spreadDb, i) => ({ setting: 10 * (i + 1), spreadDb }));

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
});
