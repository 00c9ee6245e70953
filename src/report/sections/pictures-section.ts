import type { Chart, ChartTable } from '../charts/figure.ts';
import type { ChartGroup } from '../charts.ts';
import { type Html, html } from '../html.ts';
import { plainText, sentenceHtml } from '../sentence.ts';

/** The reasons as pictures. The page draws each when it comes into view; its numbers stand below it as a table. */
export function picturesSection(groups: readonly ChartGroup[]): Html {
  if (groups.length === 0) return html``;
  return html`<section id="pictures"><h2>The reasons, as pictures</h2>${groups.map(
    ({ id, title, lead, charts }) =>
      html`<section id="${id}" class="pictures"><h3>${title}</h3>${lead === '' ? '' : html`<p class="lead">${lead}</p>`}<div class="figures">${charts.map(figure)}</div></section>`,
  )}</section>`;
}

function figure(chart: Chart): Html {
  const height = chart.figure.layout.height;
  return html`<figure id="${chart.id}"><h4>${chart.title}</h4>${chart.caption.length === 0 ? '' : html`<figcaption>${sentenceHtml(chart.caption)}</figcaption>`}
<div class="plot" data-chart="${chart.id}" role="img" aria-label="${[chart.title, plainText(chart.caption)].join('. ')}" style="min-height:${height}px"></div>
<details class="numbers"><summary>The same as a table</summary>${chartTable(chart.title, chart.table)}</details></figure>`;
}

function chartTable(title: string, { columns, rows }: ChartTable): Html {
  return html`<div class="scroll" tabindex="0" role="region" aria-label="${title}, table"><table>
<thead><tr>${columns.map((column) => html`<th scope="col">${column}</th>`)}</tr></thead>
<tbody>${rows.map(
    ([first, ...cells]) =>
      html`<tr><th scope="row">${first}</th>${cells.map((cell) => html`<td>${cell}</td>`)}</tr>`,
  )}</tbody></table></div>`;
}
