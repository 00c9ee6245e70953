/** No file of this tool has more than ten; the parser, which goes one call deeper each time, stands some 700. */
const MOST_LEVELS = 200;
/** So many columns of indentation are as many levels at most. */
const MOST_INDENT = 400;

const OPENING = /[[{]/;
const LISTS_IN_A_LINE = new RegExp(`^ *(?:[-?:][ \\t]+){${MOST_LEVELS}}`, 'm');
const INDENTED = new RegExp(`^ {${MOST_INDENT}} *\\S`, 'm');

/**
 * Whether a text of YAML or JSON goes deeper than anything here needs. Asked before it is parsed: where a parser runs out of
 * stack in the middle of its work, the whole process may end. Brackets in quotes are counted too, which nobody writes by
 * the hundred without closing them.
 */
export function nestedTooDeep(text: string): boolean {
  let level = 0;
  for (const bracket of text.match(/[[\]{}]/g) ?? []) {
    level = OPENING.test(bracket) ? level + 1 : Math.max(0, level - 1);
    if (level > MOST_LEVELS) return true;
  }
  return LISTS_IN_A_LINE.test(text) || INDENTED.test(text);
}
