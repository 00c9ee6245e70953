/** A line within this of a multiple belongs to the comb: an engine wanders while it is recorded. */
const MULTIPLE_TOLERANCE = 0.015;
/** The lowest line may be a multiple itself: its fundamental can be too weak to be seen. */
const LOWEST_IS_AT_MOST = 4;

/**
 * The fundamental whose multiples the lines are: the highest that explains most of them, refined over those lines.
 *
 * @param lines at least one
 */
export function fitComb(lines: readonly { readonly frequencyHz: number }[]): number {
  const lowestHz = Math.min(...lines.map(({ frequencyHz }) => frequencyHz));
  let best = { fundamentalHz: lowestHz, count: 0 };
  for (let division = 1; division <= LOWEST_IS_AT_MOST; division++) {
    const fundamentalHz = lowestHz / division;
    const count = multiplesOf(fundamentalHz, lines).length;
    if (count > best.count) best = { fundamentalHz, count };
  }
  const multiples = multiplesOf(best.fundamentalHz, lines);
  const weight = multiples.reduce((sum, { multiple }) => sum + multiple ** 2, 0);
  return multiples.reduce((sum, { frequencyHz, multiple }) => sum + frequencyHz * multiple, 0) / weight;
}

function multiplesOf(
  fundamentalHz: number,
  lines: readonly { readonly frequencyHz: number }[],
): { frequencyHz: number; multiple: number }[] {
  return lines.flatMap(({ frequencyHz }) => {
    const multiple = Math.round(frequencyHz / fundamentalHz);
    const error = Math.abs(frequencyHz / (multiple * fundamentalHz) - 1);
    return multiple >= 1 && error < MULTIPLE_TOLERANCE ? [{ frequencyHz, multiple }] : [];
  });
}
