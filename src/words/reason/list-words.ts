/** One, two or more things in a row: "4, 8 and 12". */
export function listOf(things: readonly (number | string)[]): string {
  return things.length < 2
    ? things.join('')
    : `${things.slice(0, -1).join(', ')} and ${things[things.length - 1]}`;
}
