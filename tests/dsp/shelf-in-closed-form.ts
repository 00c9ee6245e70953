/**
 * Level of a low shelf of order 2, decibels: with u = (f/f0)^2 and A = 10^(gain/40),
 * |H|^2 = A^2 ((A - u)^2 + A u/Q^2) / ((1 - A u)^2 + A u/Q^2).
 *
 * Source: the analogue prototype of the W3C Note "Audio EQ Cookbook", 8 June 2021, multiplied out by hand.
 */
export function shelfDb(
  { frequencyHz, gainDb, q }: { frequencyHz: number; gainDb: number; q: number },
  hz: number,
): number {
  const u = (hz / frequencyHz) ** 2;
  const root = 10 ** (gainDb / 40);
  const damping = (root * u) / (q * q);
  return gainDb / 2 + 10 * Math.log10(((root - u) ** 2 + damping) / ((1 - root * u) ** 2 + damping));
}
