import { isNotMeasurable, type MeasuredOrReason } from '../../src/model/measured.ts';
import { reasonText } from '../../src/words/reason-text.ts';

export const SETTINGS = [12, 16, 20, 24, 28, 32, 36];

export function value(answer: MeasuredOrReason): number {
  if (isNotMeasurable(answer)) throw new Error(reasonText(answer.notMeasurable));
  return answer.value;
}
