import type { MeasuredOrReason } from '../../../src/model/measured.ts';
import { reasonText } from '../../../src/words/reason-text.ts';

/** Closed form: Butterworth and Bessel (magnitude norm) at the corner, Linkwitz-Riley 2n where a Butterworth n is 1.505 dB down. */
export function minus3Hz({
  family,
  order,
  side,
  cornerHz,
}: {
  family: string;
  order: number;
  side: string;
  cornerHz: number;
}) {
  if (family !== 'linkwitz-riley') return cornerHz;
  const ratio = (Math.SQRT2 - 1) ** (1 / order);
  return side === 'low-pass' ? cornerHz * ratio : cornerHz / ratio;
}

export function measuredValue(answer: MeasuredOrReason): number {
  if ('notMeasurable' in answer) throw new Error(reasonText(answer.notMeasurable));
  return answer.value;
}
