import type { Results } from '../../model/results.ts';
import { radioAtAGlance } from '../charts/radio-at-a-glance.ts';
import { type Html, html } from '../html.ts';
import { SUMMARY_WORDS } from '../wording/summary-words.ts';

/** The whole radio in small pictures, to be saved as one and sent to a colleague. */
export function glanceSection(results: Results): Html {
  const maps = radioAtAGlance(results);
  if (maps.length === 0) return html``;
  return html`<section id="glance"><h2>${SUMMARY_WORDS.title}</h2><div class="maps">${maps}<div><p class="reading">${SUMMARY_WORDS.reading}</p><p><button type="button" data-save="svg">${SUMMARY_WORDS.saveSvg}</button> <button type="button" data-save="png">${SUMMARY_WORDS.savePng}</button></p></div></div></section>`;
}
