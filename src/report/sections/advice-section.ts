import type { Recommendation } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import type { Anchors } from '../anchors.ts';
import { type Html, html } from '../html.ts';
import { recommendationWords } from '../wording/recommendation-words.ts';
import type { TapLabel } from '../wording/statement.ts';
import { inOrder } from './dial-in-section.ts';
import { type Pictures, pictureLinks } from './picture-links.ts';
import { links, statementList } from './statements.ts';

/** Every recommendation with its reasons and the findings it rests on. */
export function adviceSection({
  results,
  anchors,
  label,
  pictures,
}: {
  results: Results;
  anchors: Anchors;
  label: TapLabel;
  pictures: Pictures;
}): Html {
  if (results.recommendations.length === 0) return html``;
  return html`<section id="advice"><h2>What to do, and why</h2>${inOrder(results).map((item) => advice(item))}</section>`;

  function advice(item: Recommendation): Html {
    const { title, statements } = recommendationWords(item, label);
    const reasons =
      item.reasons.length === 0
        ? html``
        : html`<p class="because">Because: ${item.reasons.map((reason) => reason.trim().replace(/[.;]$/, '')).join('; ')}.</p>`;
    return html`<article id="${anchors.of(item.id) ?? ''}"><h3>${title}</h3>${statementList(statements)}${reasons}
<p class="rests">${links({ ids: item.restsOn, anchors, text: 'Rests on' })}${pictureLinks(pictures, item.id)}</p></article>`;
  }
}
