/** The same list, which must not be empty: a loop over nothing would pass whatever the code does. */
export function someOf<Item>(items: readonly Item[]): readonly Item[] {
  if (items.length === 0) throw new Error('There is nothing here to check.');
  return items;
}
