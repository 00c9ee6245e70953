import type { Reason } from '../../model/reason.ts';
import type { Recommendation } from '../../model/recommendation.ts';
import { reasonText } from '../../words/reason-text.ts';
import { type Html, html } from '../html.ts';
import { inOrder } from '../in-order.ts';
import { sentenceHtml } from '../sentence.ts';
import { recommendationWords } from '../wording/recommendation-words.ts';
import type { WordTable } from '../wording/statement.ts';
import { type PageParts, pictureLinks, restsOnLinks } from './page-parts.ts';
import { more, statementList } from './statements.ts';

/** Every recommendation with its reasons and the findings it rests on. */
export function adviceSection(parts: PageParts): Html {
  if (parts.results.recommendations.length === 0) return html``;
  return html`<section id="advice"><h2>What to do, and why</h2><div>${inOrder(parts.results).map((item) =>
    advice(item, parts),
  )}</div></section>`;
}

function advice(item: Recommendation, parts: PageParts): Html {
  const { title, statements, table } = recommendationWords(item, parts.label);
  const rest = html`${statementList(statements.slice(1))}${table === undefined ? '' : wordTable(title, table)}${because(item.reasons)}${restsOnLinks(parts, item.restsOn)}${pictureLinks(parts, [item.id])}`;
  return html`<article id="${parts.anchors.of(item.id) ?? ''}"><h3>${title}</h3>${statementList(statements.slice(0, 1))}${more('Figures and reasons', rest)}</article>`;
}

function wordTable(title: string, { columns, rows }: WordTable): Html {
  return html`<div class="scroll readings" tabindex="0" role="region" aria-label="${title}, readings"><table>
<thead><tr>${columns.map((column) => html`<th scope="col">${column}</th>`)}</tr></thead>
<tbody>${rows.map((cells) => html`<tr>${cells.map((cell) => html`<td>${sentenceHtml(cell)}</td>`)}</tr>`)}</tbody></table></div>`;
}

function because(reasons: readonly Reason[]): Html {
  if (reasons.length === 0) return html``;
  return html`<p class="because">Because: ${reasons.map((reason) => reasonText(reason).trim().replace(/[.;]$/, '')).join('; ')}.</p>`;
}
