import type { Results } from '../model/results.ts';
import { readResultsText } from '../model/results-file.ts';
import { textHash } from './fingerprint.ts';
import type { JobFolder } from './job-folder.ts';
import { readText } from './read-text.ts';
import type { Shell } from './shell.ts';

/** All that is kept of the largest session takes a fifth of it; anything larger is another kind of file. */
const MOST_RESULTS_BYTES = 60e6;

/**
 * Results that `analyse` wrote.
 *
 * @throws SteptoneError 'file-missing'; 'usage' where the file is another one, of another version, damaged or edited
 */
export function readResults(
  { folder, file }: { folder: JobFolder; file: string },
  { sha256 }: Pick<Shell, 'sha256'>,
): Results {
  const text = readText(folder, file, { mostBytes: MOST_RESULTS_BYTES });
  return readResultsText({ text, where: folder.place(file) }, textHash(sha256));
}
