/** Correlation of the noise of two channels: their own noise makes them different however alike the programme is. */
const SAME_NOISE = 0.9;
/** Digital silence of a muted radio says nothing: at least this RMS, far below any recorder's noise at 16 bits. */
const LEAST_RMS = 1e-7;

/**
 * Whether two channels hold one signal, by samples in which nothing plays: a plug in one input only, or a recorder set to
 * mono.
 */
export function isSameSignal(one: Float32Array, other: Float32Array): boolean {
  const { cross, powerOne, powerOther } = covariance(one, other);
  const least = LEAST_RMS ** 2 * one.length;
  if (powerOne < least || powerOther < least) return false;
  return Math.abs(cross) > SAME_NOISE * Math.sqrt(powerOne * powerOther);
}

/**
 * Of second differences: hum and whine come in on all channels alike and say nothing, hiss does not. 50 Hz at 48 kHz is
 * 4e-5 of what it was afterwards, 1 kHz a sixtieth, hiss two and a half times as much.
 */
function covariance(one: Float32Array, other: Float32Array) {
  let cross = 0;
  let powerOne = 0;
  let powerOther = 0;
  for (let n = 2; n < one.length; n++) {
    const a = one[n] - 2 * one[n - 1] + one[n - 2];
    const b = other[n] - 2 * other[n - 1] + other[n - 2];
    cross += a * b;
    powerOne += a * a;
    powerOther += b * b;
  }
  return { cross, powerOne, powerOther };
}
