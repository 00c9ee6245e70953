import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** A constant of `src` that nobody can source. */
export interface ChosenConstant {
  readonly file: string;
  readonly name: string;
  /** As it is written, and where in the file's text. */
  readonly value: string;
  readonly at: number;
  /** What stands beside it, without the mark. */
  readonly why: string;
}

/** Rooms that make sound decide nothing. */
const DECIDES_NOTHING = ['simulate/', 'clips/'];
const MARKED =
  /\/\*\*((?:(?!\*\/)[\s\S])*?\(chosen here[\s\S]*?)\*\/\n((?:(?:export )?const [A-Z][A-Z0-9_]*(?:: [^=]+)? = .*;.*\n)+)/g;
const CONSTANT = /const ([A-Z][A-Z0-9_]*)(?:: [^=]+)? = (.*?);/g;

/** Every constant under a comment that says 'chosen here', but for rooms that only make sound. */
export function chosenConstants(root: string): ChosenConstant[] {
  return readdirSync(join(root, 'src'), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !DECIDES_NOTHING.some((room) => name.startsWith(room)))
    .sort()
    .flatMap((name) => {
      const file = join('src', name);
      const text = readFileSync(join(root, file), 'utf8');
      return [...text.matchAll(MARKED)].flatMap((match) => {
        const [whole, comment, constants] = match;
        const start = match.index + whole.length - constants.length;
        return [...constants.matchAll(CONSTANT)].map(({ 0: line, 1: constant, 2: value, index }) => ({
          file,
          name: constant,
          value,
          why: withoutMark(comment),
          at: start + index + line.length - 1 - value.length,
        }));
      });
    });
}

function withoutMark(comment: string): string {
  return comment
    .replace(/\n \*/g, ' ')
    .replace(/\(chosen here(?:; )?([^)]*)\)/, (_, more: string) => (more === '' ? '' : `(${more})`))
    .replace(/\s+/g, ' ')
    .replace(/ ([.:;])/g, '$1')
    .trim();
}

/** Of what is counted only whole numbers make sense. */
const COUNTS = /MOST|FEWEST|FRAMES|BYTES|ITERATIONS|PHASES|EVERY|PER_OCTAVE/;
const NUMBER = /(?<![A-Za-z_$.\d])\d[\d_]*(?:\.\d+)?(?:e-?\d+)?/g;

/** The text of a value times `factor`: of a list or a table, each of its numbers. */
export function scaled(
  { name, value }: { readonly name: string; readonly value: string },
  factor: number,
): string {
  if (/[[{]/.test(value))
    return value.replace(NUMBER, (number) => String(Number(number.replaceAll('_', '')) * factor));
  return COUNTS.test(name) ? `Math.max(1, Math.round((${value}) * ${factor}))` : `(${value}) * ${factor}`;
}
