import type { Reason } from '../../model/reason.ts';
import type { Recommendation } from '../../model/recommendation.ts';
import { listed } from '../../words/figures.ts';
import { reasonText } from '../../words/reason-text.ts';
import { type Html, html } from '../html.ts';
import { inOrder } from '../in-order.ts';
import { plainText, sentenceHtml } from '../sentence.ts';
import { adviceTitle } from '../titles.ts';
import { recommendationWords } from '../wording/recommendation-words.ts';
import { capitalised, type RecommendationWords, type WordTable } from '../wording/statement.ts';
import { type PageParts, pictureLinks, restsOnLinks } from './page-parts.ts';
import { knownClass, more, statementList } from './statements.ts';

/** Every recommendation with its reasons and the findings it rests on; those of a kind stand together, as the findings do. */
export function adviceSection(parts: PageParts): Html {
  if (parts.results.recommendations.length === 0) return html``;
  return html`<section id="advice"><h2>What to do, and why</h2><div>${adviceGroups(parts).map((group) =>
    article(group, parts),
  )}</div></section>`;
}

type Advice = RecommendationWords & { readonly item: Recommendation };
type Group = readonly [Advice, ...Advice[]];

/** In the order of work, each kind where its first stands. */
function adviceGroups({ results, label }: PageParts): Group[] {
  const groups = new Map<string, [Advice, ...Advice[]]>();
  for (const item of inOrder(results)) {
    const words = { ...recommendationWords(item, label), item };
    const key = JSON.stringify([item.kind, words.title]);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [words]);
    else group.push(words);
  }
  return [...groups.values()];
}

function article(group: Group, parts: PageParts): Html {
  const [first, ...others] = group;
  const lines = firstLines(group);
  const title = lines.length === 1 ? adviceTitle({ ...first, of: whose(group) }) : first.title;
  const rest = group.map((one) => details(one, parts));
  const inside =
    others.length === 0
      ? rest[0]
      : html`${group.map((one, i) => (rest[i].text === '' ? '' : html`<h4>${capitalised(one.of ?? `${i + 1}`)}</h4>${rest[i]}`))}`;
  const places = others.map(({ item }) => html`<span id="${parts.anchors.of(item.id) ?? ''}"></span>`);
  return html`<article id="${parts.anchors.of(first.item.id) ?? ''}"><h3>${title}</h3>${places}<ul class="statements">${lines}</ul>${more('Figures and reasons', inside)}</article>`;
}

/** "front and rear: ..."; without names where one sentence holds for all. */
function firstLines(group: Group): Html[] {
  const lines = new Map<string, Advice[]>();
  for (const one of group) {
    const text = one.statements.slice(0, 1).map(({ sentence }) => plainText(sentence))[0] ?? '';
    lines.set(text, [...(lines.get(text) ?? []), one]);
  }
  return [...lines.values()].flatMap((same) =>
    same[0].statements.slice(0, 1).map((statement) => {
      const of = lines.size === 1 ? undefined : whose(same);
      return html`<li class="${knownClass(statement)}">${of === undefined ? '' : html`<b>${capitalised(of)}:</b> `}${sentenceHtml(statement.sentence)}</li>`;
    }),
  );
}

function whose(group: readonly Advice[]): string | undefined {
  const names = group.flatMap(({ of }) => of ?? []);
  return names.length === 0 ? undefined : listed(names);
}

function details({ title, of, item, statements, table }: Advice, parts: PageParts): Html {
  return html`${statementList(statements.slice(1))}${table === undefined ? '' : wordTable(adviceTitle({ title, of }), table)}${because(item.reasons)}${restsOnLinks(parts, item.restsOn)}${pictureLinks(parts, [item.id])}`;
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
