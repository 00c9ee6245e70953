import type { Anchors } from '../anchors.ts';
import { type Html, html } from '../html.ts';
import { sentenceHtml } from '../sentence.ts';
import type { Statement } from '../wording/statement.ts';

/** A list of sentences; what cannot be told is marked in words and by a line, not by colour alone. */
export function statementList(statements: readonly Statement[]): Html {
  if (statements.length === 0) return html``;
  return html`<ul class="statements">${statements.map(
    (statement) => html`<li class="${knownClass(statement)}">${sentenceHtml(statement.sentence)}</li>`,
  )}</ul>`;
}

/** What one click opens; nothing where there is nothing more to say. */
export function more(name: string, inside: Html): Html {
  return inside.text === ''
    ? inside
    : html`<details class="more"><summary>${name}</summary>${inside}</details>`;
}

export function knownClass({ known }: { readonly known: boolean }): string {
  return known ? 'known' : 'not-known';
}

/** Links to findings and recommendations, numbered as they stand in the page; unknown ids are left out. */
export function links({
  ids,
  anchors,
  text,
}: {
  ids: readonly string[];
  anchors: Anchors;
  text: string;
}): Html {
  const known = [...new Set(ids.flatMap((id) => anchors.of(id) ?? []))];
  if (known.length === 0) return html``;
  const [first, ...rest] = known;
  const more = rest.map(
    (anchor, i) => html` <a href="#${anchor}" aria-label="${text}, ${i + 2}">${i + 2}</a>`,
  );
  return html` <span class="links"><a href="#${first}">${text}</a>${more}</span>`;
}
