/**
 * Exponential sine sweep x(t) = sin(2 pi f1 L (exp(t/L) - 1)), L = T / ln(f2/f1), with raised-cosine ends.
 *
 * Source: Farina, AES 108th Convention (2000), preprint 5093. The k-th harmonic arrives L ln k earlier.
 */
export interface Sweep {
  readonly startHz: number;
  readonly endHz: number;
  readonly durationSeconds: number;
  readonly fadeInSeconds: number;
  readonly fadeOutSeconds: number;
}

/** L, in seconds: the time in which the frequency grows by e. */
export function sweepRateSeconds({ startHz, endHz, durationSeconds }: Sweep): number {
  return durationSeconds / Math.log(endHz / startHz);
}

/** Value of the sweep at `seconds` after its start, peak 1; 0 outside. */
export function sweepValue(sweep: Sweep, seconds: number): number {
  return sweepValues(sweep)(seconds);
}

/** The same for many times, with what they share worked out once. */
export function sweepValues(sweep: Sweep): (seconds: number) => number {
  const rate = sweepRateSeconds(sweep);
  const radians = 2 * Math.PI * sweep.startHz * rate;
  return (seconds) =>
    seconds < 0 || seconds >= sweep.durationSeconds
      ? 0
      : Math.sin(radians * Math.expm1(seconds / rate)) * raisedCosineEnds(sweep, seconds);
}

/** When the sweep passes a frequency, seconds after its start. */
export function sweepTimeOf(sweep: Sweep, frequencyHz: number): number {
  return sweepRateSeconds(sweep) * Math.log(frequencyHz / sweep.startHz);
}

function raisedCosineEnds(
  { durationSeconds, fadeInSeconds, fadeOutSeconds }: Sweep,
  seconds: number,
): number {
  const up = fadeInSeconds > 0 ? Math.min(1, seconds / fadeInSeconds) : 1;
  const down = fadeOutSeconds > 0 ? Math.min(1, (durationSeconds - seconds) / fadeOutSeconds) : 1;
  if (up === 1 && down === 1) return 1;
  return 0.25 * (1 - Math.cos(Math.PI * up)) * (1 - Math.cos(Math.PI * down));
}
