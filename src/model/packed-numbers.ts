/**
 * Smooth series of numbers as short text. Each number is rounded to a multiple of `step`; what is written is how far each
 * departs from a straight line through the two before it, five bits a character, lowest first, 32 added where more follow.
 * A curve that is sampled finely takes little more than one character a number.
 */
const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_';
const VALUE_OF = new Map([...ALPHABET].map((letter, value) => [letter, value]));

/** @throws RangeError for a number that is none, or that has more than 2^50 steps */
export function packNumbers(values: ArrayLike<number>, step: number): string {
  // Joined at the end: a string that grows letter by letter holds thirty bytes for each until somebody reads it.
  const letters: string[] = [];
  let [before, last] = [0, 0];
  for (let i = 0; i < values.length; i++) {
    const steps = Math.round(values[i] / step);
    if (!(Math.abs(steps) < 2 ** 50)) throw new RangeError(`${values[i]} in steps of ${step}`);
    const departure = steps - (i < 2 ? last : 2 * last - before);
    // Signs alternate, so that small departures of either sign are small numbers.
    let rest = departure < 0 ? -2 * departure - 1 : 2 * departure;
    for (; rest >= 32; rest = Math.floor(rest / 32)) letters.push(ALPHABET[32 + (rest % 32)]);
    letters.push(ALPHABET[rest]);
    [before, last] = [last, steps];
  }
  return letters.join('');
}

/** The numbers again; null for a text that `packNumbers` does not write. */
export function unpackNumbers(text: string, step: number): number[] | null {
  const values: number[] = [];
  const perUnit = Math.round(1 / step); // dividing by it gives the shortest decimal fractions
  let [before, last] = [0, 0];
  let [rest, unit] = [0, 1];
  for (const letter of text) {
    const digit = VALUE_OF.get(letter);
    if (digit === undefined || unit > 2 ** 50) return null;
    rest += (digit % 32) * unit;
    unit *= 32;
    if (digit >= 32) continue;
    const departure = rest % 2 === 1 ? -(rest + 1) / 2 : rest / 2;
    const steps = departure + (values.length < 2 ? last : 2 * last - before);
    values.push(step < 1 ? steps / perUnit : steps * step);
    [before, last] = [last, steps];
    [rest, unit] = [0, 1];
  }
  return unit === 1 ? values : null;
}
