import { expect } from 'vitest';
import { isNotMeasurable, type MeasuredOrReason } from '../../src/model/measured.ts';

/** The value of an answer that must have been measured. */
export function measuredValue(answer: MeasuredOrReason): number {
  if (isNotMeasurable(answer)) throw new Error(`not measurable: ${answer.notMeasurable}`);
  return answer.value;
}

export function expectNear(answer: MeasuredOrReason, expected: number, within: number): void {
  expect(Math.abs(measuredValue(answer) - expected)).toBeLessThanOrEqual(within);
}

export function expectWithinPercent(answer: MeasuredOrReason, expected: number, percent: number): void {
  expectNear(answer, expected, (Math.abs(expected) * percent) / 100);
}
