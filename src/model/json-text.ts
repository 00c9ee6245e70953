/** Digits of any number in a file: more than anything here carries. Engines differ by 3e-11 of a number and less. */
const SIGNIFICANT_DIGITS = 7;
/** What is left of numbers that cancel differs between engines by 1e-15; no figure here is told that finely. */
const FINEST_DECIMALS = 12;
/** From here on the digits above end before those decimals do. */
const NEVER_TOO_FINE = 10 ** (SIGNIFICANT_DIGITS - 1 - FINEST_DECIMALS);

/**
 * Data as JSON without blanks, numbers with the digits that they carry.
 *
 * @throws Error, a fault of the tool, for a number that is none: nothing is written that could not be read
 */
export function jsonText(data: unknown): string {
  return JSON.stringify(data, written);
}

function written(field: string, value: unknown): unknown {
  if (typeof value !== 'number' || Number.isInteger(value)) return value;
  if (!Number.isFinite(value)) throw new Error(`a number that is none (${value}) at ${field}`);
  const rounded = Number(value.toPrecision(SIGNIFICANT_DIGITS));
  return Math.abs(rounded) > NEVER_TOO_FINE ? rounded : Number(rounded.toFixed(FINEST_DECIMALS));
}
