import { readWhole } from './files.ts';

/** A session with a thousand recordings stays below half of this; anything larger is another kind of file. */
export const MOST_TEXT_BYTES = 1 << 18;

/**
 * The text of a session or scenario file.
 *
 * @throws SteptoneError `file-missing` where there is none or it is a folder; `usage` where it is far too long
 */
export function readText(path: string): string {
  return readWhole(path, { mostBytes: MOST_TEXT_BYTES }).toString('utf8');
}
