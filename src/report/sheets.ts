import type { Results } from '../model/results.ts';
import { renderDialInSheet } from './sheets/dial-in-sheet.ts';
import { renderHandOverSheet } from './sheets/hand-over-sheet.ts';
import { renderOrderSheet } from './sheets/order-sheet.ts';

export interface Sheet {
  readonly fileName: string;
  /** A page to print, made of the results alone. */
  readonly render: (results: Results) => string;
}

/** The sheets that follow from results, in the order in which they are used. */
export const SHEETS: readonly Sheet[] = [
  { fileName: 'order-sheet.html', render: renderOrderSheet },
  { fileName: 'dial-in-sheet.html', render: renderDialInSheet },
  { fileName: 'hand-over-sheet.html', render: renderHandOverSheet },
];
