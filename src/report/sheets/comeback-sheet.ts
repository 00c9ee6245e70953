import type { Results } from '../../model/results.ts';
import { chainDrawing } from '../drawing/chain-drawing.ts';
import { html } from '../html.ts';
import { sentenceHtml } from '../sentence.ts';
import { tapLabelOf } from '../tap-label.ts';
import { comebacks } from '../wording/comeback-words.ts';
import { blank, sheetPage, sheetTable } from './sheet-page.ts';

/** For the day on which the car comes back: what settles each complaint, and where in its chain to look. */
export function renderComebackSheet(results: Results): string {
  const rows = comebacks(results).map(({ complaint, first, second, look }) => [
    complaint,
    html`${sentenceHtml(first)} ${blank()}`,
    html`${sentenceHtml(second)} ${blank()}`,
    look,
  ]);
  return sheetPage({
    title: 'When the car comes back',
    name: results.session.name,
    body: html`${chainDrawing(results, tapLabelOf(results), 'planned')}${sheetTable(
      ['Complaint', 'Measure first', 'Then', 'Look at'],
      rows,
      'even',
    )}<p>Take these readings with the tones of the stick, across the pair, from quiet upwards. Ears and tweeters first.</p>`,
  });
}
