/** A string literal or template of a source file, its holes as `…`, and what stands before it on the way in. */
export interface Literal {
  readonly text: string;
  readonly line: number;
  /** Names of the calls around it, the innermost last: `z.enum`, `new SteptoneError`. */
  readonly within: readonly string[];
}

/** The strings of TypeScript as written: without comments, regular expressions and imports. */
export function stringLiterals(source: string): Literal[] {
  const found: Literal[] = [];
  const calls: string[] = [];
  let at = 0;
  code('');
  return found;

  function code(end: string): void {
    let depth = 0;
    while (at < source.length) {
      const rest = source.slice(at, at + 2);
      const char = rest[0];
      if (rest === '//') skipTo('\n');
      else if (rest === '/*') skipTo('*/');
      else if (char === '/' && startsPattern()) skipPattern();
      else if (char === "'" || char === '"') plain(char);
      else if (char === '`') template();
      else {
        if (char === '(') calls.push(/(?:new )?[\w.]*$/.exec(source.slice(Math.max(0, at - 60), at))![0]);
        if (char === ')') calls.pop();
        if (char === '{') depth++;
        if (char === '}' && depth-- === 0 && end === '}') return;
        at++;
      }
    }
  }

  function plain(quote: string): void {
    const start = at++;
    while (source[at] !== quote) at += source[at] === '\\' ? 2 : 1;
    at++;
    if (!/^import |\bfrom $/.test(source.slice(source.lastIndexOf('\n', start) + 1, start)))
      keep(source.slice(start + 1, at - 1), start);
  }

  function template(): void {
    const start = at++;
    let text = '';
    while (source[at] !== '`') {
      if (source.startsWith('${', at)) {
        at += 2;
        code('}');
        text += '…';
      } else text += source[at] === '\\' ? source[at++] + source[at] : source[at];
      at++;
    }
    at++;
    keep(text, start);
  }

  function keep(text: string, start: number): void {
    found.push({ text, line: source.slice(0, start).split('\n').length, within: [...calls] });
  }

  function startsPattern(): boolean {
    return /(^|[(,=:[!&|?{};\n]|return)\s*$/.test(source.slice(Math.max(0, at - 12), at));
  }

  function skipPattern(): void {
    for (let inClass = false, first = true; first || inClass || source[at] !== '/'; first = false) {
      at += source[at] === '\\' ? 2 : 1;
      if (source[at] === '[') inClass = true;
      if (source[at] === ']') inClass = false;
    }
    at++;
  }

  function skipTo(end: string): void {
    const found = source.indexOf(end, at);
    at = found < 0 ? source.length : found + end.length;
  }
}
