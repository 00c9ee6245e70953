/** Names of the pages, apart from what renders them: they are needed before there is anything to render. */
export const REPORT_FILE = 'report.html';

/** In the order in which they are used. */
export const SHEET_FILES = [
  'estimate-sheet.html',
  'order-sheet.html',
  'dial-in-sheet.html',
  'hand-over-sheet.html',
  'comeback-sheet.html',
] as const;
