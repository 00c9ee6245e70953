import { expect, test } from 'vitest';
import { applyGainDrift } from '../../src/simulate/gain-drift.ts';

test('the gain moves in straight lines of decibels from where it begins to where it stays', () => {
  const signal = new Float64Array(100).fill(1);
  applyGainDrift(signal, { gainDb: 6, fromSeconds: 2, toSeconds: 6 }, { trackStart: 10, sampleRateHz: 10 });
  const db = (n: number) => 20 * Math.log10(signal[n]);
  expect(db(29)).toBe(0);
  expect(db(50)).toBeCloseTo(3, 12);
  expect(db(70)).toBeCloseTo(6, 12);
  expect(db(99)).toBeCloseTo(6, 12);
});

test('without time to move it jumps', () => {
  const signal = new Float64Array(20).fill(1);
  applyGainDrift(signal, { gainDb: -6, fromSeconds: 1, toSeconds: 1 }, { trackStart: 0, sampleRateHz: 10 });
  expect([signal[9], 20 * Math.log10(signal[11])]).toEqual([1, expect.closeTo(-6, 12)]);
});
