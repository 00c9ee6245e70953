import { expect, it } from 'vitest';
import { standardDeviation } from '../../src/measure/standard-deviation.ts';

it('is the root mean square about the mean: 1, 3, 5 and 7 lie 2.236 from 4', () => {
  expect(standardDeviation(Float32Array.of(1, 3, 5, 7))).toBeCloseTo(Math.sqrt(5), 9);
  expect(standardDeviation(Float32Array.of(0.25, 0.25))).toBe(0);
});
