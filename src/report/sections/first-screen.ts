import type { Results } from '../../model/results.ts';
import type { Anchors } from '../anchors.ts';
import { chainDrawing } from '../drawing/chain-drawing.ts';
import { type Html, html } from '../html.ts';
import { type Sentence, sentenceHtml } from '../sentence.ts';
import type { TapLabel } from '../wording/statement.ts';
import { verdictLines } from '../wording/verdict/verdict-lines.ts';
import { verdictTitle } from '../wording/verdict/verdict-title.ts';
import { voltTable } from '../wording/volt-rows.ts';
import { knownClass } from './statements.ts';

/** Decisions, one drawing and the volts: what has to be read before anything is touched. */
export function firstScreen(results: Results, anchors: Anchors, label: TapLabel): Html {
  const drawing = chainDrawing(results, label, 'brief');
  return html`<div class="first-screen">${verdictSection(results, anchors, label)}${voltsSection(results)}${
    drawing.text === '' ? '' : html`<section id="chain" aria-label="The signal chain">${drawing}</section>`
  }</div>`;
}

function verdictSection(results: Results, anchors: Anchors, label: TapLabel): Html {
  const verdict = verdictTitle(results, label);
  const lines = verdictLines(results, label).map(
    ({ name, sentence, known, evidenceIds }) =>
      html`<dt>${why(name, evidenceIds, anchors)}</dt><dd class="${knownClass({ known })}">${sentenceHtml(sentence)}</dd>`,
  );
  const title =
    verdict === null
      ? html`<h2>Verdict</h2>`
      : html`<h2>${verdict.title} <span class="because-of">${sentenceHtml(verdict.because)}</span></h2>`;
  return html`<section id="verdict">${title}<dl>${lines}</dl></section>`;
}

/** The name of a line leads to its reason. */
function why(name: string, evidenceIds: readonly string[], anchors: Anchors): Html {
  const [anchor] = evidenceIds.flatMap((id) => anchors.of(id) ?? []);
  return anchor === undefined ? html`${name}` : html`<a href="#${anchor}" title="why">${name}</a>`;
}

function voltsSection({ recommendations }: Results): Html {
  const { title, conditions, rows } = voltTable(recommendations);
  if (rows.length === 0)
    return html`<section id="volts"><h2>Volts</h2><p>There is nothing to set yet.</p></section>`;
  const has = (column: 'converter' | 'amplifier') => rows.some((row) => row[column] !== null);
  const cell = (sentence: Sentence | null) => (sentence === null ? '' : sentenceHtml(sentence));
  const converter = has('converter');
  const amplifier = has('amplifier');
  const at = rows.some((row) => row.at !== '');
  const columns = [
    'Tone',
    ...(at ? ['Setting'] : []),
    ...(converter ? ['Converter'] : []),
    ...(amplifier ? ['Amplifier'] : []),
  ];
  return html`<section id="volts"><h2>${title} <span class="because-of">${conditions}</span></h2><table>
<thead><tr><td></td>${columns.map((column) => html`<th scope="col">${column}</th>`)}</tr></thead>
<tbody>${rows.map(
    (row) =>
      html`<tr class="${knownClass(row)}"><th scope="row">${row.feed}</th><td>${row.play}</td>${at ? html`<td>${row.at}</td>` : ''}${converter ? html`<td class="read">${cell(row.converter)}</td>` : ''}${amplifier ? html`<td class="read">${cell(row.amplifier)}</td>` : ''}</tr>`,
  )}</tbody></table></section>`;
}
