/**
 * LIX (Björnsson, Läsbarhet, 1968): words a sentence plus the percentage of words of more than six letters. Below 30 reads
 * like a children's book, 40 like a newspaper, above 50 like an official text. Numbers with their units count as a word.
 */
export function lix(text: string): number {
  const words = wordsOf(text);
  const long = words.filter((word) => word.replace(/[^\p{L}]/gu, '').length > 6).length;
  return words.length / Math.max(1, sentencesOf(text).length) + (100 * long) / Math.max(1, words.length);
}

/** A full stop between figures ends nothing. */
export function sentencesOf(text: string): string[] {
  return text.split(/(?<=[.?!:;])\s+/).filter((part) => wordsOf(part).length > 0);
}

/** Words between stops, colons and semicolons: how much has to be kept in mind. */
export function longestSentence(text: string): number {
  return Math.max(0, ...sentencesOf(text).map((part) => wordsOf(part).length));
}

export function wordsOf(text: string): string[] {
  return text.split(/[\s/]+/).filter((word) => /[\p{L}\d]/u.test(word));
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? 0;
}
