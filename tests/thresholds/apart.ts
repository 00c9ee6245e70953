import { largestChange } from '../largest-change.ts';

type Answer = { readonly id: string };

/** Answers named where words change; more only make a row too long to read. */
const MOST_NAMED = 3;
/** Results are written with seven digits. */
const SAME_WITHIN = 1e-6;

/** How far answers are from the usual ones, in a few words: the same, figures that moved, or what says something else. */
export function apart(usual: readonly Answer[], found: readonly Answer[]): string {
  const ids = [...new Set([...usual, ...found].map(({ id }) => id))];
  const moved = ids.map((id) => {
    const pair = [usual, found].map((answers) => answers.filter((answer) => answer.id === id));
    return { id, by: movedBy(pair[0], pair[1]) };
  });
  const other = moved.filter(({ by }) => by === null).map(({ id }) => id);
  if (other.length > MOST_NAMED)
    return `${other.slice(0, MOST_NAMED).join(', ')} and ${other.length - MOST_NAMED} more`;
  if (other.length > 0) return other.join(', ');
  const most = Math.max(0, ...moved.map(({ by }) => by ?? 0));
  return most < SAME_WITHIN ? 'same' : `figures by ${(100 * most).toPrecision(2)} %`;
}

/** The largest change of a figure; null where anything but figures differs. */
function movedBy(one: unknown, other: unknown): number | null {
  const { by, otherwise } = largestChange(one, other);
  return otherwise.length > 0 ? null : by;
}
