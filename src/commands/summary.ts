import type { Results } from '../model/results.ts';
import { summaryLines } from '../report/verdicts.ts';
import { reasonText } from '../words/reason-text.ts';

/** The verdicts in the words of the report, and what was noted on the way, for the terminal. */
export function summaryOf(results: Results): string {
  const notes = results.notes.map(
    ({ file, reason }) => `  ${file === null ? '' : `${file}: `}${reasonText(reason)}`,
  );
  return [...summaryLines(results), ...(notes.length === 0 ? [] : ['Noted:', ...notes])].join('\n');
}
