/** Where a command puts what it makes, as on the command line. */
export const OUT = 'steptone-out';
/** The folders of recordings that are a session of their own. */
export const AFTER_INSTALL = 'after-install';
export const SCREENING = 'screening';
export const CONFIRM = 'confirm';
