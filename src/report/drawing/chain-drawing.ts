import type { Results } from '../../model/results.ts';
import { formatSetting } from '../format.ts';
import { type Html, html } from '../html.ts';
import type { TapLabel } from '../wording/statement.ts';
import { OUTPUT_CAUTION, playersText, plugsText, supplyText } from './drawing-words.ts';
import { type DrawnChain, drawnChain } from './drawn-chain.ts';
import { foundChain } from './found-chain.ts';
import { narrowDrawing } from './narrow-drawing.ts';
import { MIDDLE, WIDE, wideDrawing } from './wide-drawing.ts';

/**
 * The signal chain of this car as one drawing: as it was found, with the factory speakers behind the outputs, or as it is
 * planned. Three shapes of it; the style shows the one that fits the page, and the middle one on paper.
 *
 * @returns nothing where no chain was solved
 */
export function chainDrawing(results: Results, label: TapLabel, state: 'found' | 'planned'): Html {
  const drawn = state === 'planned' ? drawnChain(results, label) : foundChain(results, label);
  if (drawn === null) return html``;
  const title = titleOf(drawn, state);
  const supply = results.chain?.supply ?? null;
  const supplied = state === 'planned' && supply !== null ? [supplyText(supply)] : [];
  const plugs = state === 'planned' ? plugsText(results.session.taps) : '';
  const players =
    results.chain === undefined ? [] : playersText(results.chain.player, results.session.source);
  const shown = [`${title} ${OUTPUT_CAUTION}`, ...players, ...(plugs === '' ? [] : [plugs]), ...supplied];
  return html`<div class="drawing">${[WIDE, MIDDLE].map((across) => wideDrawing(drawn, { title, foot: shown, across }))}${narrowDrawing(drawn, title, shown)}</div>`;
}

function titleOf({ setting }: DrawnChain, state: 'found' | 'planned'): string {
  const at = setting === null ? '' : ` Volts: the strongest tone at ${formatSetting(setting)}.`;
  return `${state === 'found' ? 'As found.' : 'As planned.'}${at}`;
}
