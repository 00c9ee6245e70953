import { SteptoneError } from '../model/errors.ts';
import { bytesOf, type JobFolder, withFile } from './job-folder.ts';

/** A session with a thousand recordings stays below half of this; anything larger is another kind of file. */
export const MOST_TEXT_BYTES = 1 << 18;

/**
 * The text of a session or scenario file.
 *
 * @throws SteptoneError `file-missing` where there is none or it is a folder; `usage` where it is far too long
 */
export function readText(
  folder: JobFolder,
  file: string,
  { mostBytes = MOST_TEXT_BYTES }: { mostBytes?: number } = {},
): string {
  return withFile({ folder, file }, (source) => {
    if (source.byteLength <= mostBytes) return new TextDecoder().decode(bytesOf(source));
    throw new SteptoneError({
      code: 'usage',
      expected: `a text file of at most ${mostBytes} bytes`,
      found: `${source.byteLength} bytes`,
      where: folder.place(file),
      likelyCause: 'another kind of file',
      nextStep: 'check the name',
    });
  });
}
