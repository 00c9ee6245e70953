/**
 * What was made last is kept and given again.
 *
 * @param most of them; what was asked for least lately makes room
 */
export function lastMade<V>(most: number): (key: string, make: () => V) => V {
  const known = new Map<string, V>();
  return (key, make) => {
    const value = known.get(key) ?? make();
    known.delete(key);
    known.set(key, value);
    const [oldest] = known.keys();
    if (known.size > most) known.delete(oldest);
    return value;
  };
}
