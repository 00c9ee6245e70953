/**
 * A stretch of a take's own hiss, the same length of it in every take: no two recordings share theirs, however alike the
 * programme is. Null where there is none (digital silence) or where it is no hiss (a whine repeats itself).
 *
 * @param silence samples in which nothing plays
 */
export function hissPrint(silence: Float32Array): Float32Array | null {
  if (silence.length < PRINT_SAMPLES + MOST_LAG + 2) return null;
  const print = new Float32Array(PRINT_SAMPLES + MOST_LAG);
  for (let n = 0; n < print.length; n++) print[n] = silence[n] - 2 * silence[n + 1] + silence[n + 2];
  if (energy(print, 0) < LEAST_RMS ** 2 * PRINT_SAMPLES) return null;
  for (let lag = FIRST_ECHO; lag <= MOST_LAG; lag++)
    if (correlation(print, print, lag) > REPEATS) return null;
  return print;
}

/** Whether two takes hold the same samples, at any gain and cut anywhere within the millisecond that a start is known to. */
export function isSamePrint(one: Float32Array, other: Float32Array): boolean {
  for (let lag = 0; lag <= MOST_LAG; lag++)
    if (correlation(one, other, lag) > SAME || correlation(other, one, lag) > SAME) return true;
  return false;
}

/** Of hiss: two that differ agree by chance to 3 % of it (1 over the root of the count). */
const PRINT_SAMPLES = 1024;
/** A start is known to a millisecond: half of it either way at 96 kHz. */
const MOST_LAG = 96;
/** Neighbours of hiss that is read as second differences are alike; later ones are not. */
const FIRST_ECHO = 4;
/** Independent hiss of 1024 samples correlates by 0.03 (1 / sqrt n); a copy that was rounded anew by its gain still by far more. */
const SAME = 0.5;
const REPEATS = 0.4;
/** Below is digital silence. */
const LEAST_RMS = 1e-8;

function correlation(one: Float32Array, other: Float32Array, lag: number): number {
  let cross = 0;
  for (let n = 0; n < PRINT_SAMPLES; n++) cross += one[n] * other[n + lag];
  return Math.abs(cross) / Math.sqrt(energy(one, 0) * energy(other, lag));
}

function energy(samples: Float32Array, from: number): number {
  let sum = 0;
  for (let n = from; n < from + PRINT_SAMPLES; n++) sum += samples[n] * samples[n];
  return sum;
}
