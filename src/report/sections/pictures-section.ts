import type { Chart, ChartTable } from '../charts/figure.ts';
import type { ChartGroup } from '../charts.ts';
import { Html, html } from '../html.ts';
import { plainText, sentenceHtml } from '../sentence.ts';
import { legend } from '../still/legend.ts';
import { stillPicture } from '../still/still-picture.ts';

/** The reasons as pictures. The page draws each when it comes into view; its numbers stand below it as a table. */
export function picturesSection(groups: readonly ChartGroup[]): Html {
  if (groups.length === 0) return html``;
  return html`<section id="pictures"><h2>The reasons, as pictures</h2>${groups.map(
    ({ id, title, lead, charts }) =>
      html`<section id="${id}" class="pictures"><h3>${title}</h3>${lead === '' ? '' : html`<p class="lead">${lead}</p>`}<div class="figures">${charts.map(figure)}</div></section>`,
  )}</section>`;
}

function figure(chart: Chart): Html {
  const { height, panels = [] } = chart.figure.layout;
  const name = [chart.title, plainText(chart.caption)].filter((text) => text !== '').join('. ');
  return html`<figure id="${chart.id}"${panels.length > 1 ? new Html(' class="wide"') : ''}><h4>${chart.title}</h4>${chart.caption.length === 0 ? '' : html`<figcaption>${sentenceHtml(chart.caption)}</figcaption>`}
<div class="plot" data-chart="${chart.id}" role="img" aria-label="${name}" style="--height:${height}px;--panels:${Math.max(1, panels.length)}">${stillPicture(chart.figure)}</div>${legend(chart.figure)}
<details class="numbers"><summary>${chart.tables.length > 1 ? 'The same as tables' : 'The same as a table'}</summary>${chart.tables.map((table) => chartTable(chart, table))}</details></figure>`;
}

function chartTable(chart: Chart, { name, note, columns, rows }: ChartTable): Html {
  const label = chart.tables.length > 1 && name !== undefined ? `${chart.title}, ${name}` : chart.title;
  return html`${note === undefined ? '' : html`<p>${note}</p>`}<div class="scroll" tabindex="0" role="region" aria-label="${label}, table"><table>${
    chart.tables.length > 1 && name !== undefined ? html`<caption>${name}</caption>` : ''
  }
<thead><tr>${columns.map((column) => html`<th scope="col">${column}</th>`)}</tr></thead>
<tbody>${rows.map(
    ([first, ...cells]) =>
      html`<tr><th scope="row">${first}</th>${cells.map((cell) => html`<td>${cell}</td>`)}</tr>`,
  )}</tbody></table></div>`;
}
