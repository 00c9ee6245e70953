/** Root mean square of samples about their mean. */
export function standardDeviation(samples: Float32Array): number {
  let sum = 0;
  for (let n = 0; n < samples.length; n++) sum += samples[n];
  const mean = sum / samples.length;
  let squares = 0;
  for (let n = 0; n < samples.length; n++) squares += (samples[n] - mean) ** 2;
  return Math.sqrt(squares / samples.length);
}
