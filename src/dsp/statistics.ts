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
