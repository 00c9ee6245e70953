import type { Results } from '../model/results.ts';
import { SHEET_FILES } from './page-files.ts';
import type { PhotoImages } from './photos.ts';
import { renderComebackSheet } from './sheets/comeback-sheet.ts';
import { renderDialInSheet } from './sheets/dial-in-sheet.ts';
import { renderEstimateSheet } from './sheets/estimate-sheet.ts';
import { renderHandOverSheet } from './sheets/hand-over-sheet.ts';
import { renderOrderSheet } from './sheets/order-sheet.ts';
import { withTapNames } from './with-tap-names.ts';

interface Sheet {
  readonly fileName: string;
  /** A page to print, made of the results and the photos of the bay. */
  readonly render: (results: Results, images?: PhotoImages) => string;
}

const RENDER: Readonly<Record<(typeof SHEET_FILES)[number], Sheet['render']>> = {
  'estimate-sheet.html': renderEstimateSheet,
  'order-sheet.html': renderOrderSheet,
  'dial-in-sheet.html': renderDialInSheet,
  'hand-over-sheet.html': renderHandOverSheet,
  'comeback-sheet.html': renderComebackSheet,
};

/** The sheets that follow from results, in the order in which they are used. */
export const SHEETS: readonly Sheet[] = SHEET_FILES.map((fileName) => ({
  fileName,
  render: (results, images) => RENDER[fileName](withTapNames(results), images),
}));
