/** Digits of any number in a file: more than anything here carries, fewer than those in which machines differ. */
const SIGNIFICANT_DIGITS = 9;

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
  return Number(value.toPrecision(SIGNIFICANT_DIGITS));
}
