import type { Results } from '../../model/results.ts';
import { chainDrawing } from '../drawing/chain-drawing.ts';
import { type Html, html } from '../html.ts';
import { tapLabelOf } from '../tap-label.ts';

/** The chain as the car came, and as it is now; nothing where no chain was solved. */
export function drawnBeforeAndNow(results: Results): Html {
  const label = tapLabelOf(results);
  const [before, now] = [chainDrawing(results, label, 'found'), chainDrawing(results, label, 'planned')];
  if (before.text === '') return html``;
  if (results.chain?.verdict === 'not like this')
    return html`<section><h2>Before</h2><div class="small">${before}</div></section>`;
  return html`<section><h2>Before</h2><div class="small">${before}</div><h2>Now</h2>${now}</section>`;
}
