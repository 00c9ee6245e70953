import type { Chart } from '../charts/figure.ts';
import { type Html, html } from '../html.ts';

/** Which pictures show a finding or a recommendation, by its id. */
export type Pictures = ReadonlyMap<string, readonly Chart[]>;

export function picturesById(charts: readonly Chart[]): Pictures {
  const pictures = new Map<string, Chart[]>();
  for (const chart of charts) {
    for (const id of chart.shows) pictures.set(id, [...(pictures.get(id) ?? []), chart]);
  }
  return pictures;
}

export function pictureLinks(pictures: Pictures, id: string): Html {
  const charts = pictures.get(id) ?? [];
  if (charts.length === 0) return html``;
  return html` <span class="links">Picture: ${charts.map(
    (chart, i) => html`${i === 0 ? '' : ', '}<a href="#${chart.id}">${chart.title}</a>`,
  )}</span>`;
}
