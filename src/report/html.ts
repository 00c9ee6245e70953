import { escapeHtml } from '../model/escape-html.ts';

export { escapeHtml };

/** Text that is known to be HTML; everything else is escaped when it is put into a page. */
export class Html {
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }
}

type Part = Html | string | number | readonly (Html | string)[];

/**
 * Template tag for markup: whatever is filled in is escaped unless it is `Html` itself, so that a tap called `<script>`
 * stays text. Lists are joined without a separator.
 */
export function html(literals: TemplateStringsArray, ...parts: readonly Part[]): Html {
  const filled = parts.map((part, i) => partText(part) + literals[i + 1]);
  return new Html(literals[0] + filled.join(''));
}

/**
 * JSON for a `<script type="application/json">` element: no sign in it can end the element or open a comment
 * (HTML Standard, restrictions for contents of script elements).
 */
export function embeddedJson(value: unknown): Html {
  const escaped = JSON.stringify(value).replace(
    /[<>&\u2028\u2029]/g,
    (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
  return new Html(escaped);
}

function partText(part: Part): string {
  if (part instanceof Html) return part.text;
  if (typeof part === 'object') return part.map(partText).join('');
  return escapeHtml(String(part));
}
