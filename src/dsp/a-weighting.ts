/** Pole frequencies of the A-weighting, IEC 61672-1:2013 annex E. */
const F1_HZ = 20.598997;
const F2_HZ = 107.65265;
const F3_HZ = 737.86223;
const F4_HZ = 12194.217;

/** A-weighting of power, a ratio, 1 at 1 kHz. Source: IEC 61672-1:2013, closed form. */
export function aWeightingOfPower(frequencyHz: number): number {
  return (weight(frequencyHz) / WEIGHT_AT_1_KHZ) ** 2;
}

const WEIGHT_AT_1_KHZ = weight(1000);

function weight(frequencyHz: number): number {
  const f2 = frequencyHz ** 2;
  return (
    (F4_HZ ** 2 * f2 ** 2) /
    ((f2 + F1_HZ ** 2) * Math.sqrt((f2 + F2_HZ ** 2) * (f2 + F3_HZ ** 2)) * (f2 + F4_HZ ** 2))
  );
}
