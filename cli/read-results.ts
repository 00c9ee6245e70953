import { createHash } from 'node:crypto';
import type { Results } from '../src/model/results.ts';
import { readResultsText, resultsText } from '../src/model/results-file.ts';
import { readWhole } from './files.ts';

/** All that is kept of the largest session takes a fifth of it; anything larger is another kind of file. */
const MOST_RESULTS_BYTES = 60e6;

const hash = { sha256Hex: (text: string) => createHash('sha256').update(text, 'utf8').digest('hex') };

/**
 * Results that `analyse` wrote.
 *
 * @throws SteptoneError 'file-missing'; 'usage' where the file is another one, of another version, damaged or edited
 */
export function readResults(path: string): Results {
  const text = readWhole(path, { mostBytes: MOST_RESULTS_BYTES }).toString('utf8');
  return readResultsText({ text, where: path }, hash);
}

/** Results as they are written to their file. */
export function textOfResults(results: Results): string {
  return resultsText(results, hash);
}
