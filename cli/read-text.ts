import { SteptoneError } from '../src/model/errors.ts';
import { fileSource, readWhole } from './files.ts';

/** A session with a thousand recordings stays below half of this; anything larger is another kind of file. */
export const MOST_TEXT_BYTES = 1 << 18;

/**
 * The text of a session or scenario file.
 *
 * @throws SteptoneError `file-missing` where there is none or it is a folder; `usage` where it is far too long
 */
export function readText(path: string): string {
  const source = fileSource(path);
  source.close();
  if (source.byteLength <= MOST_TEXT_BYTES) return readWhole(path).toString('utf8');
  throw new SteptoneError({
    code: 'usage',
    expected: `a text of at most ${MOST_TEXT_BYTES} bytes`,
    found: `${source.byteLength} bytes`,
    where: path,
    likelyCause: 'it is another kind of file',
    nextStep: 'name the session file, or the folder of recordings',
  });
}
