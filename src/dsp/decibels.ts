/** Decibels of a factor of e in amplitude. */
export const DB_PER_NEPER = 20 / Math.LN10;

/** Of a ratio of amplitudes or volts; minus infinity of 0. */
export function decibels(ratio: number): number {
  return 20 * Math.log10(ratio);
}

/** The ratio of amplitudes or volts that so many decibels are. */
export function ratioOf(db: number): number {
  return 10 ** (db / 20);
}

/** Of a ratio of powers; minus infinity of 0. */
export function decibelsOfPower(ratio: number): number {
  return 10 * Math.log10(ratio);
}

/** The ratio of powers that so many decibels are. */
export function powerRatioOf(db: number): number {
  return 10 ** (db / 10);
}
