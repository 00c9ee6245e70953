import type { Figure, Trace } from '../charts/figure.ts';
import { Html, html } from '../html.ts';
import { fitAtEnds } from './end-labels.ts';
import { markAt, traceStyle } from './marks.ts';

/** Names of a picture's curves, each with its line and mark; nothing where they are named at their ends or none needs a name. */
export function legend(figure: Figure): Html {
  const { data, layout } = figure;
  const named = data.filter(({ showlegend }) => showlegend !== false);
  if (!layout.showlegend || named.length === 0 || fitAtEnds(figure)) return html``;
  // Names in figures are escaped as the plotting library wants it, which is how a page wants it.
  return html`<ul class="legend">${named.map((trace) => html`<li>${sample(trace)} ${new Html(trace.name)}</li>`)}</ul>`;
}

function sample(trace: Trace): Html {
  const { mode = 'lines', marker } = trace;
  const symbol = typeof marker?.symbol === 'string' ? marker.symbol : marker?.symbol?.[0];
  return html`<svg width="36" height="16" viewBox="0 0 36 16" aria-hidden="true"><g style="${traceStyle(trace)}">${
    mode.includes('lines') ? html`<path d="M0 8H36" fill="none"/>` : ''
  }${mode.includes('markers') && symbol !== undefined ? markAt(symbol.replace(/-open$/, ''), 18, 8) : ''}</g></svg>`;
}
