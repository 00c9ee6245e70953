/**
 * E24 preferred values (IEC 60063). Eight of them are not the rounded powers of ten that a formula gives (2.7 3.0 3.3
 * 3.6 3.9 4.3 4.7 8.2): they are a table by the standard.
 */
export const E24 = [
  10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
] as const;

/** Every E24 resistor between two values, in ohms, ascending. */
export function e24Between({
  lowestOhms,
  highestOhms,
}: {
  lowestOhms: number;
  highestOhms: number;
}): number[] {
  const firstDecade = Math.floor(Math.log10(lowestOhms)) - 1;
  const lastDecade = Math.ceil(Math.log10(highestOhms)) - 1;
  const decades = Array.from({ length: lastDecade - firstDecade + 1 }, (_, i) => firstDecade + i);
  return decades
    .flatMap((decade) => E24.map((value) => (decade < 0 ? value / 10 ** -decade : value * 10 ** decade)))
    .filter((ohms) => ohms >= lowestOhms * (1 - 1e-9) && ohms <= highestOhms * (1 + 1e-9));
}
