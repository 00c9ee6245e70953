import type { Results } from '../../model/results.ts';
import type { Anchors } from '../anchors.ts';
import { chainDrawing } from '../drawing/chain-drawing.ts';
import { type Html, html } from '../html.ts';
import { sentenceHtml } from '../sentence.ts';
import type { TapLabel } from '../wording/statement.ts';
import { verdictLines, verdictTitle } from '../wording/verdict-words.ts';
import { voltRows } from '../wording/volt-rows.ts';
import { links, toldClass } from './statements.ts';

/** Decisions, one drawing and the volts: what has to be read before anything is touched. */
export function firstScreen(results: Results, anchors: Anchors, label: TapLabel): Html {
  const drawing = chainDrawing(results, label, 'planned');
  return html`<div class="first-screen">${verdictSection(results, anchors, label)}${voltsSection(results)}${
    drawing.text === '' ? '' : html`<section id="chain" aria-label="The signal chain">${drawing}</section>`
  }</div>`;
}

function verdictSection(results: Results, anchors: Anchors, label: TapLabel): Html {
  const verdict = verdictTitle(results);
  const lines = verdictLines(results, label).map(
    ({ name, sentence, told, evidenceIds }) =>
      html`<dt>${name}</dt><dd class="${toldClass({ told })}">${sentenceHtml(sentence)}${links({ ids: evidenceIds.slice(0, 1), anchors, text: 'why' })}</dd>`,
  );
  const title =
    verdict === null
      ? html`<h2>Verdict</h2>`
      : html`<h2>${verdict.title} <span class="because-of">${sentenceHtml(verdict.because)}</span></h2>`;
  return html`<section id="verdict">${title}<dl>${lines}</dl></section>`;
}

function voltsSection(results: Results): Html {
  const rows = voltRows(results.recommendations);
  if (rows.length === 0)
    return html`<section id="volts"><h2>Volts</h2><p>There is nothing to set yet.</p></section>`;
  return html`<section id="volts"><h2>Volts, in the order of work</h2><table>
<thead><tr><th scope="col">Turn</th><th scope="col">Play</th><th scope="col">At</th><th scope="col">Read</th></tr></thead>
<tbody>${rows.map(
    ({ turn, play, at, read, told }) =>
      html`<tr class="${toldClass({ told })}"><th scope="row">${turn}</th><td>${play}</td><td>${at}</td><td>${sentenceHtml(read)}</td></tr>`,
  )}</tbody></table></section>`;
}
