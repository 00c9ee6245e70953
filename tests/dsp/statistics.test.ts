import { describe, expect, it } from 'vitest';
import { DB_PER_NEPER, decibels, decibelsOfPower, powerRatioOf, ratioOf } from '../../src/dsp/decibels.ts';
import { mean, median, standardDeviation } from '../../src/dsp/statistics.ts';

describe('statistics', () => {
  it('The median is the middle value by size, not by text, and the upper of two.', () => {
    expect(median([10, 9, 100])).toBe(10);
    expect(median([4, 1, 3, 2])).toBe(3);
    expect(median([-1, -20])).toBe(-1);
    expect(median([])).toBeNaN();
  });

  it('The median leaves the order of what it is given alone.', () => {
    const given = Float64Array.of(3, 1, 2);
    expect(median(given)).toBe(2);
    expect([...given]).toEqual([3, 1, 2]);
  });

  it('The mean of an arithmetic series is that of its ends; of nothing there is none.', () => {
    expect(mean(Float32Array.from({ length: 101 }, (_, i) => i - 20))).toBe(30);
    expect(mean([])).toBeNaN();
  });

  it('The standard deviation is taken about the mean: 1, 3, 5 and 7 lie 2.236 from 4.', () => {
    expect(standardDeviation(Float32Array.of(1, 3, 5, 7))).toBeCloseTo(Math.sqrt(5), 9);
    expect(standardDeviation(Float32Array.of(0.25, 0.25))).toBe(0);
    expect(standardDeviation([])).toBeNaN();
  });
});

describe('decibels', () => {
  it('A factor of ten is 20 dB, of two 6.0206 dB, of e 8.685889638 dB (IEC 60027-3).', () => {
    expect(decibels(10)).toBeCloseTo(20, 12);
    expect(decibels(2)).toBeCloseTo(6.020599913, 9);
    expect(DB_PER_NEPER).toBeCloseTo(8.685889638, 9);
    expect(decibels(0)).toBe(Number.NEGATIVE_INFINITY);
  });

  it('Ten times the power is 10 dB.', () => {
    expect(decibelsOfPower(10)).toBeCloseTo(10, 12);
    expect(powerRatioOf(-20)).toBeCloseTo(0.01, 12);
  });

  it('The ratio undoes the decibels.', () => {
    for (const db of [-120, -3, 0, 0.1, 40]) {
      expect(decibels(ratioOf(db))).toBeCloseTo(db, 10);
      expect(decibelsOfPower(powerRatioOf(db))).toBeCloseTo(db, 10);
      expect(decibelsOfPower(ratioOf(db) ** 2)).toBeCloseTo(db, 10);
    }
  });
});
