/**
 * Whether a file has a name as a pattern says: `*` is any text within one folder, `?` one letter; capitals do not count,
 * as on a stick. Takes no longer than the product of both lengths, whatever is written.
 */
export function fitsPattern(pattern: string, file: string): boolean {
  const [parts, names] = [pattern, file].map((path) => path.toLowerCase().split('/'));
  return parts.length === names.length && parts.every((part, i) => fits(part, names[i]));
}

/** Every star takes as little as it can; where that fails, the last one takes a letter more. */
function fits(pattern: string, name: string): boolean {
  let [at, star, taken] = [0, -1, 0];
  for (let i = 0; i < name.length; ) {
    if (pattern[at] === '*') {
      star = at++;
      taken = i;
    } else if (at < pattern.length && (pattern[at] === '?' || pattern[at] === name[i])) {
      at++;
      i++;
    } else if (star >= 0) {
      at = star + 1;
      i = ++taken;
    } else return false;
  }
  return /^\**$/.test(pattern.slice(at));
}
