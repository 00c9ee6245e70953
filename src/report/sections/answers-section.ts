import type { Anchors } from '../anchors.ts';
import { type Html, html } from '../html.ts';
import { sentenceHtml } from '../sentence.ts';
import type { Answer } from '../verdicts/answer.ts';
import type { Verdict } from '../verdicts.ts';
import { knownClass, links } from './statements.ts';

/** The installer's questions, answered, before anything else; what is to be set stands in the table that follows. */
export function answersSection(list: readonly Verdict[], anchors: Anchors): Html {
  return html`<section id="answers"><h2>The three questions, with the exact figures</h2><div class="answers">${list.map(
    ({ question, answers }) =>
      html`<div class="answer"><h3>${question}</h3><ul>${answers.filter(({ dialIn }) => !dialIn).map((answer) => answerItem(answer, anchors))}${
        answers.some(({ dialIn }) => dialIn)
          ? html`<li>The gains: <a href="#volts">in volts, by meter</a>.</li>`
          : ''
      }</ul></div>`,
  )}</div></section>`;
}

function answerItem(answer: Answer, anchors: Anchors): Html {
  const why = links({ ids: answer.evidenceIds, anchors, text: 'Why' });
  return html`<li class="${knownClass(answer)}">${sentenceHtml(answer.sentence)}${why}</li>`;
}
