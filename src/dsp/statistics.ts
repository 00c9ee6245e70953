/** The middle value, the upper of the two in the middle where their number is even; NaN of none. */
export function median(values: Iterable<number>): number {
  const sorted = Float64Array.from(values).sort();
  return sorted[sorted.length >> 1] ?? Number.NaN;
}

/** NaN of none. */
export function mean(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i];
  return sum / values.length;
}

/** Power of samples; NaN of none. */
export function meanSquare(values: ArrayLike<number>): number {
  let squares = 0;
  for (let i = 0; i < values.length; i++) squares += values[i] * values[i];
  return squares / values.length;
}

/** Root mean square about the mean; NaN of none. */
export function standardDeviation(values: ArrayLike<number>): number {
  const middle = mean(values);
  let squares = 0;
  for (let i = 0; i < values.length; i++) squares += (values[i] - middle) ** 2;
  return Math.sqrt(squares / values.length);
}
