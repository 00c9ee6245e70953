import type { ChartGroup } from '../charts/chart-group.ts';
import type { Chart, ChartTable } from '../charts/figure.ts';
import { type Html, html } from '../html.ts';
import { sentenceHtml } from '../sentence.ts';
import { legend } from '../still/legend.ts';
import { stillPicture } from '../still/still-picture.ts';

/** The reasons as pictures: still until they are touched, with their numbers below them as a table. */
export function picturesSection(groups: readonly ChartGroup[]): Html {
  if (groups.length === 0) return html``;
  return html`<section id="pictures"><h2>The reasons, as pictures</h2><div class="figures">${inFullRows(groups.flatMap(({ lead, charts }) => charts.map((chart, i) => ({ chart, lead: i === 0 ? lead : '' })))).map(({ chart, lead }) => figure(chart, lead))}</div></section>`;
}

interface Shown {
  readonly chart: Chart;
  readonly lead: string;
}

/** A picture of several panels has a row of paper to itself: where it would leave a single one alone, it comes before that. */
function inFullRows(shown: readonly Shown[]): Shown[] {
  const placed: Shown[] = [];
  let waiting: Shown | null = null;
  for (const one of shown) {
    if (panelsOf(one.chart) > 1) placed.push(one);
    else if (waiting === null) waiting = one;
    else {
      placed.push(waiting, one);
      waiting = null;
    }
  }
  return waiting === null ? placed : [...placed, waiting];
}

function panelsOf({ figure }: Chart): number {
  return figure.layout.panels?.length ?? 1;
}

/** @param lead what the first picture of a subject says for all of them */
function figure(chart: Chart, lead: string): Html {
  const panels = panelsOf(chart);
  return html`<figure id="${chart.id}" class="of-${Math.min(3, panels)}"><h3>${chart.title}</h3>${chart.caption.length === 0 && lead === '' ? '' : html`<figcaption>${lead} ${sentenceHtml(chart.caption)}</figcaption>`}
<div class="plot" data-chart="${chart.id}" role="img" aria-label="${chart.title}">${stills(chart)}</div>${legend(chart.figure)}
<details class="numbers"><summary>${chart.tables.length > 1 ? 'Tables' : 'Table'}</summary>${chart.tables.map((table) => chartTable(chart, table))}</details></figure>`;
}

/** Both units are in the page, as in its sentences: the style shows the chosen one. */
function stills({ figure, figureInDbu }: Chart): Html {
  if (figureInDbu === null) return stillPicture(figure);
  return html`<div class="panels in-volts">${stillPicture(figure)}</div><div class="panels in-dbu">${stillPicture(figureInDbu)}</div>`;
}

function chartTable(chart: Chart, { name, note, columns, rows }: ChartTable): Html {
  const label = chart.tables.length > 1 && name !== undefined ? `${chart.title}, ${name}` : chart.title;
  return html`${note === undefined ? '' : html`<p>${note}</p>`}<div class="scroll" tabindex="0" role="region" aria-label="${label}, table"><table>${
    chart.tables.length > 1 && name !== undefined ? html`<caption>${name}</caption>` : ''
  }
<thead><tr>${columns.map((column) => html`<th scope="col">${column}</th>`)}</tr></thead>
<tbody>${rows.map(
    // End tags that HTML lets out: there are thousands of cells.
    ([first, ...cells]) => html`<tr><th scope="row">${first}${cells.map((cell) => html`<td>${cell}`)}`,
  )}</table></div>`;
}
