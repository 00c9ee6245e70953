/** More than this share of its letters wrong, and a word is another word, not a slip (common practice in spelling aids). */
const MOST_WRONG_SHARE = 0.4;

/**
 * The word that was probably meant: the one with the fewest letters to change, where capitals do not count and a word
 * that begins with what was written (or the reverse) is near. `undefined` where none is near enough.
 */
export function nearestWord({
  written,
  words,
}: {
  written: string;
  words: readonly string[];
}): string | undefined {
  const given = written.toLowerCase();
  const ranked = words
    .map((word) => ({ word, distance: wordDistance(given, word.toLowerCase()) }))
    .sort((a, b) => a.distance - b.distance);
  const best = ranked[0];
  if (best === undefined) return undefined;
  return best.distance <= MOST_WRONG_SHARE * Math.max(given.length, 2) ? best.word : undefined;
}

/** What to write instead: the word probably meant, or the words there are. */
export function wordHint({ written, words }: { written: string; words: readonly string[] }): string {
  const near = nearestWord({ written, words });
  return near === undefined ? `write one of ${words.join(', ')}` : `write '${near}' if you meant that`;
}

function wordDistance(a: string, b: string): number {
  if (a.length >= 3 && b.length >= 3 && (b.startsWith(a) || a.startsWith(b))) return 0.5;
  return editDistance(a, b);
}

/** Letters inserted, left out, replaced or swapped with their neighbour (Damerau 1964, restricted form). */
function editDistance(a: string, b: string): number {
  const rows = [Array.from({ length: b.length + 1 }, (_, j) => j)];
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const replace = rows[i - 1][j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      const swap = swapped ? rows[i - 2][j - 2] + 1 : Number.POSITIVE_INFINITY;
      row.push(Math.min(replace, rows[i - 1][j] + 1, row[j - 1] + 1, swap));
    }
    rows.push(row);
  }
  return rows[a.length][b.length];
}
