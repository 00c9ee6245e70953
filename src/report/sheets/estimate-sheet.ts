import type { Results } from '../../model/results.ts';
import { html } from '../html.ts';
import { outcomes } from '../wording/estimate-words.ts';
import { blank, sheetPage, sheetSection, sheetTable, tickBox } from './sheet-page.ts';

/** For the first call: what may be found in this car and what each outcome would need. Prices are the shop's to write in. */
export function renderEstimateSheet(results: Results): string {
  return estimatePage(results.session.name, results);
}

/** @param results null before anything was recorded */
export function estimatePage(name: string, results: Results | null): string {
  const rows = outcomes(results).map(({ finding, says, needs, found }) => [
    finding,
    says,
    needs,
    found === null ? html`${tickBox()}` : found ? 'found' : 'not found',
    html`${blank()}`,
  ]);
  return sheetPage({
    title: 'Estimate: what your radio may turn out to do',
    name,
    body: html`<p>Nobody can see from outside what a factory radio does to its outputs. We record it first, in about an hour, and then know which of these it is.</p>
${sheetTable(['If we find', 'It means', 'It needs', 'Found', 'Price'], rows, 'even')}
${sheetSection('What you want', html`<p>Louder ${tickBox()} Deeper bass ${tickBox()} Clearer ${tickBox()} Keep fade and balance ${tickBox()} Room for a box: ${blank()}</p><p>Budget: ${blank()} Listens to: ${blank()} Usual volume setting: ${blank()}</p>`)}
${sheetSection('What stays', html`<p>The radio with its screen, camera, prompts and chimes stays in the dash. No factory wire is cut if you want it back later: ${tickBox()}</p>`)}
<p>Valid until: ${blank()} Signed: ${blank()}</p>`,
  });
}
