import type { Results } from '../model/results.ts';
import { summaryLines } from '../report/verdicts.ts';
import { noteText } from '../words/note-text.ts';

/** The verdicts in the words of the report, and what was noted on the way, for the terminal. */
export function summaryOf(results: Results): string {
  const notes = results.notes.map((note) => `  ${noteText(note)}`);
  return [...summaryLines(results), ...(notes.length === 0 ? [] : ['Noted:', ...notes])].join('\n');
}
