import type { Results } from '../../model/results.ts';
import { radioAtAGlance } from '../charts/radio-at-a-glance.ts';
import { type Html, html } from '../html.ts';
import { SUMMARY_WORDS } from '../wording/summary-words.ts';

/** One picture of the whole radio, to be saved and sent to a colleague. */
export function glanceSection(results: Results): Html {
  const picture = radioAtAGlance(results);
  if (picture.text === '') return picture;
  return html`<section id="glance" aria-label="${SUMMARY_WORDS.title}">${picture}<p><button type="button" data-save="svg">${SUMMARY_WORDS.saveSvg}</button> <button type="button" data-save="png">${SUMMARY_WORDS.savePng}</button></p></section>`;
}
