import type { Results } from '../../model/results.ts';
import type { Anchors } from '../anchors.ts';
import { type Html, html } from '../html.ts';
import { sentenceHtml } from '../sentence.ts';
import { recommendationWords } from '../wording/recommendation-words.ts';
import type { TapLabel } from '../wording/statement.ts';
import { links, toldClass } from './statements.ts';

/** Everything that has to be set, in the order of work. */
export function dialInSection(results: Results, anchors: Anchors, label: TapLabel): Html {
  const steps = inOrder(results).flatMap((item) => {
    const { step } = recommendationWords(item, label);
    return step === null ? [] : [{ ...step, id: item.id }];
  });
  const rows = steps.map(
    (step, i) => html`<tr class="${toldClass(step)}">
<td>${i + 1}</td><th scope="row">${step.where}</th><td>${sentenceHtml(step.setTo)}</td><td>${sentenceHtml(step.check)}</td>
<td>${links({ ids: [step.id], anchors, text: 'Why' })}</td></tr>`,
  );
  const table =
    steps.length === 0
      ? html`<p>There is nothing to set yet: no recommendation follows from these recordings.</p>`
      : html`<div class="scroll" tabindex="0" role="region" aria-label="Settings to dial in, table"><table class="dial-in">
<thead><tr><th scope="col">Step</th><th scope="col">Where</th><th scope="col">Set to</th><th scope="col">Check</th><th scope="col">Reason</th></tr></thead>
<tbody>${rows}</tbody></table></div>`;
  return html`<section id="dial-in"><h2>Settings to dial in, in the order of work</h2>
<p class="lead">Read the <a href="#cautions">cautions</a> before touching wires or playing tones.</p>${table}</section>`;
}

export function inOrder(results: Results): Results['recommendations'] {
  return [...results.recommendations].sort((a, b) => a.order - b.order);
}
