import { CAUTIONS } from '../cautions.ts';
import { type Html, html } from '../html.ts';
import { METHODS } from '../methods.ts';

export function cautionsSection(): Html {
  return html`<section id="cautions"><h2>Cautions</h2><div>${CAUTIONS.map(
    ({ title, items }) =>
      html`<div class="caution"><h3>${title}</h3><ul>${items.map((item) => html`<li>${item}</li>`)}</ul></div>`,
  )}</div></section>`;
}

export function methodsSection(): Html {
  return html`<section id="methods"><h2>How each number was got</h2><div>${METHODS.map(
    ({ title, text }) => html`<details class="method"><summary>${title}</summary><p>${text}</p></details>`,
  )}</div></section>`;
}
