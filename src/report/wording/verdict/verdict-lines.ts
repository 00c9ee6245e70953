import type { Results } from '../../../model/results.ts';
import { notSettledWords } from '../not-settled-words.ts';
import type { TapLabel } from '../statement.ts';
import { bassLine } from './bass-line.ts';
import { firstLine } from './first-line.ts';
import { orderLine } from './order-line.ts';
import { outputsLine } from './outputs-line.ts';
import type { VerdictLine } from './verdict-line.ts';
import { volumeLine } from './volume-line.ts';

/** What to do with this radio, in at most seven lines: what is not settled, bass, outputs, volume, what to order, what comes first. */
export function verdictLines(results: Results, label: TapLabel): VerdictLine[] {
  const open = notSettledWords(results, label);
  return [
    ...(open === null ? [] : [{ name: 'Not settled', known: false, ...open }]),
    bassLine(results, label),
    outputsLine(results, label),
    volumeLine(results, label),
    ...orderLine(results),
    ...firstLine(results, label),
  ];
}
