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

/** The largest change of a figure relative to the figures of its list or object; null where anything but figures differs. */
function movedBy(one: unknown, other: unknown): number | null {
  if (typeof one === 'number' && typeof other === 'number') {
    const size = Math.max(Math.abs(one), Math.abs(other));
    return size === 0 ? 0 : Math.abs(one - other) / Math.max(1, size);
  }
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null)
    return one === other ? 0 : null;
  const [names, others] = [Object.keys(one), Object.keys(other)];
  if (names.length !== others.length) return null;
  return names.reduce<number | null>((most, name) => {
    const by = movedBy(one[name as keyof typeof one], other[name as keyof typeof other]);
    return most === null || by === null ? null : Math.max(most, by);
  }, 0);
}
