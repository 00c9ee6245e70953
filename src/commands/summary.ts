import type { Results } from '../model/results.ts';
import { summaryLines } from '../report/verdicts.ts';

/** The verdicts in the words of the report, and what was noted on the way, for the terminal. */
export function summaryOf(results: Results): string {
  const notes = results.notes.map(({ file, text }) => `  ${file === null ? '' : `${file}: `}${text}`);
  return [...summaryLines(results), ...(notes.length === 0 ? [] : ['Noted:', ...notes])].join('\n');
}
