import type { Results } from '../../model/results.ts';
import { formatSetting } from '../format.ts';
import { type Html, html } from '../html.ts';
import type { TapLabel } from '../wording/statement.ts';
import { batteryText, OUTPUT_CAUTION, playersText, plugsText, supplyText } from './drawing-words.ts';
import type { DrawnChain } from './drawn.ts';
import { drawnChain } from './drawn-chain.ts';
import { foundChain } from './found-chain.ts';
import { narrowDrawing } from './narrow-drawing.ts';
import { MIDDLE, WIDE, wideDrawing } from './wide-drawing.ts';

/**
 * The signal chain of this car as one drawing: as it was found, with the factory speakers behind the outputs, or as it is
 * planned. `brief` draws alike pairs as one and leaves knobs, slopes and pins to the sheets: the first screen takes it. Three
 * shapes of each; the style shows the one that fits the page, and the middle one on paper.
 *
 * @returns nothing where no chain was solved
 */
export function chainDrawing(results: Results, label: TapLabel, state: 'found' | 'planned' | 'brief'): Html {
  const drawn = state === 'found' ? foundChain(results, label) : drawnChain(results, label, state);
  if (drawn === null) return html``;
  const supply = state === 'found' ? null : (results.chain?.supply ?? null);
  const title = titleOf(drawn, state);
  const full = state === 'planned';
  const plugs = full ? plugsText(results.session.taps) : '';
  const foot = [
    `${title} ${OUTPUT_CAUTION}`,
    ...(results.chain === undefined ? [] : playersText(results.chain.player, results.session.source)),
    ...(plugs === '' ? [] : [plugs]),
    ...(full && supply !== null ? [supplyText(supply)] : []),
  ];
  const battery = supply === null ? null : batteryText(supply);
  return html`<div class="drawing">${[WIDE, MIDDLE].map((across) => wideDrawing(drawn, { title, foot, battery, across }))}${narrowDrawing(drawn, { title, foot, battery })}</div>`;
}

function titleOf({ setting }: DrawnChain, state: 'found' | 'planned' | 'brief'): string {
  const at =
    setting === null
      ? []
      : ['Volts: loudest tone', ...(state === 'brief' ? [] : [`at ${formatSetting(setting)}`])];
  const what = { found: ['As found.'], planned: ['As planned.'], brief: [] }[state];
  return [...what, ...(at.length === 0 ? [] : [`${at.join(' ')}.`])].join(' ');
}
