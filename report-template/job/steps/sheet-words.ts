import type { SHEET_FILES } from '../../../src/report/page-files.ts';

/** What the page calls the sheets. */
export const SHEET_WORDS: Readonly<Record<(typeof SHEET_FILES)[number], string>> = {
  'estimate-sheet.html': 'Estimate sheet',
  'order-sheet.html': 'Order sheet',
  'dial-in-sheet.html': 'Dial-in sheet',
  'hand-over-sheet.html': 'Hand-over sheet',
  'comeback-sheet.html': 'Comeback sheet',
};
