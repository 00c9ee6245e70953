/** Of the world’s mains (IEC 60038). */
const MAINS_HZ = [50, 60] as const;
/** Mains wanders by a few tenths of a hertz in a thousand; lines are read to about half a hertz. */
const RELATIVE_ERROR = 0.003;
const READING_ERROR_HZ = 0.6;
/** Higher multiples lie so close that any line would match. */
const HIGHEST_MULTIPLE = 12;

/**
 * Mains frequency whose multiples the lines are: the one that explains more of them, at least two, or its first or second
 * multiple alone (rectified hum). Null where neither does, or both alike.
 */
export function humOf(linesHz: readonly number[]): 50 | 60 | null {
  const matches = MAINS_HZ.map((mainsHz) => linesHz.filter((lineHz) => multipleOf(lineHz, mainsHz) !== null));
  const [fifty, sixty] = matches.map((lines) => lines.length);
  if (fifty === sixty) return null;
  const winner = fifty > sixty ? 0 : 1;
  const multiples = matches[winner].map((lineHz) => multipleOf(lineHz, MAINS_HZ[winner])!);
  return multiples.length >= 2 || multiples[0] <= 2 ? MAINS_HZ[winner] : null;
}

function multipleOf(lineHz: number, mainsHz: number): number | null {
  const multiple = Math.round(lineHz / mainsHz);
  const error = Math.abs(lineHz - multiple * mainsHz);
  const isMultiple =
    multiple >= 1 &&
    multiple <= HIGHEST_MULTIPLE &&
    error <= Math.max(READING_ERROR_HZ, RELATIVE_ERROR * lineHz);
  return isMultiple ? multiple : null;
}
