/**
 * Samples as they stand in a 16-bit file. A drive of 0 dBFS peaks two steps below full scale, 0.0005 dB, so that dither
 * and rounding never push its crests over the edge, where they would be clipped.
 */
const FULL_DRIVE_STEPS = 32_766;
const STEPS_AT_FULL_SCALE = 32_768;

/** A value of the track (1 is 0 dBFS) rounded to 16 bits; `dither` is in steps, as `triangularDither` gives it. */
export function sixteenBitSample(value: number, dither: number): number {
  return Math.round(value * FULL_DRIVE_STEPS + dither) / STEPS_AT_FULL_SCALE;
}
