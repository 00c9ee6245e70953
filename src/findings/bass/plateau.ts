import type { BassLevel } from './bass-levels.ts';
import type { Estimate } from './level-profile.ts';

/** Settings between which bass does not change: three or more within this (the definition of the reference for bass loss). */
export const PLATEAU_DB = 0.5;
const FEWEST_SETTINGS = 3;
/** Settings borrowed from another tap's plateau: two do. */
const FEWEST_BORROWED = 2;
/** Spread that noise alone may make, in standard deviations of a difference. */
const NOISE_SPREAD = 3;
/** Of two plateaus, the one whose bass lies nearer to the middle by this much is the radio's own response. */
const CLEARLY_FLATTER_DB = 2;

/**
 * The plateau, or why there is none. Of several the longest is taken; where two stand apart, the flatter is the radio's own
 * response (the other is a lift below it or a cut above it), and where that does not tell, nothing does.
 */
export function findPlateau(levels: readonly BassLevel[]): readonly BassLevel[] | string {
  if (levels.length < FEWEST_SETTINGS)
    return `only ${levels.length} settings are usable, and a plateau needs three within 0.5 dB`;
  const runs = longestRuns(levels);
  if (runs.length === 0)
    return 'no three neighbouring settings agree within 0.5 dB, so there is no reference for a loss';
  const apart = runs.filter(
    (run) => !runs.some((other) => other !== run && overlaps(run, other) && other.length > run.length),
  );
  const byLength = [...apart].sort(
    (one, other) => other.length - one.length || spreadDb(one) - spreadDb(other),
  );
  const separate = byLength.filter((run) => !overlaps(run, byLength[0]));
  if (separate.length === 0) return byLength[0];
  const byBass = [byLength[0], ...separate].sort(
    (one, other) => Math.abs(bassDb(one)) - Math.abs(bassDb(other)),
  );
  return Math.abs(bassDb(byBass[1])) - Math.abs(bassDb(byBass[0])) >= CLEARLY_FLATTER_DB
    ? byBass[0]
    : 'two ranges of settings hold steady at different bass: lifted at the low ones or cut at the high ones cannot be told';
}

/** Settings of another tap's plateau at which this tap agrees with itself; null where it does not. */
export function borrowedPlateau(
  levels: readonly BassLevel[],
  plateauSettings: readonly number[],
): readonly BassLevel[] | null {
  const shared = levels.filter(({ setting }) => plateauSettings.includes(setting));
  return shared.length >= FEWEST_BORROWED && isSteady(shared) ? shared : null;
}

/** Mean of the plateau at each bass frequency; null where no setting of it is trusted there. */
export function plateauMean(plateau: readonly BassLevel[], at: number): Estimate | null {
  const values = plateau.flatMap(({ relative }) => relative[at] ?? []);
  if (values.length === 0) return null;
  return {
    value: values.reduce((sum, { value }) => sum + value, 0) / values.length,
    sigma: Math.hypot(...values.map(({ sigma }) => sigma)) / values.length,
  };
}

/** Every run of neighbours that is steady and cannot be made longer. */
function longestRuns(levels: readonly BassLevel[]): (readonly BassLevel[])[] {
  const runs: (readonly BassLevel[])[] = [];
  let lastEnd = 0;
  for (let start = 0; start < levels.length; start++) {
    let end = start + 1;
    while (end < levels.length && isSteady(levels.slice(start, end + 1))) end++;
    if (end - start >= FEWEST_SETTINGS && end > lastEnd) runs.push(levels.slice(start, end));
    lastEnd = Math.max(lastEnd, end);
  }
  return runs;
}

/** At each frequency, and in the mean of all of them, whose noise is lower. */
function isSteady(run: readonly BassLevel[]): boolean {
  const perFrequency = run[0].relative.map((_, at) => run.flatMap(({ relative }) => relative[at] ?? []));
  const everywhere = run.filter(({ relative }) => relative.every((level) => level !== null));
  const means = everywhere.map(({ relative }) => ({
    value: relative.reduce((sum, level) => sum + level!.value, 0) / relative.length,
    sigma: Math.hypot(...relative.map((level) => level!.sigma)) / relative.length,
  }));
  return [...perFrequency, means].every((levels) => {
    if (levels.length < 2) return true;
    const values = levels.map(({ value }) => value);
    const noise = NOISE_SPREAD * Math.SQRT2 * Math.max(...levels.map(({ sigma }) => sigma));
    return Math.max(...values) - Math.min(...values) <= Math.max(PLATEAU_DB, noise);
  });
}

function spreadDb(run: readonly BassLevel[]): number {
  const spreads = run[0].relative.map((_, at) => {
    const levels = run.flatMap(({ relative }) => relative[at]?.value ?? []);
    return levels.length === 0 ? 0 : Math.max(...levels) - Math.min(...levels);
  });
  return Math.max(...spreads);
}

/** Bass of a plateau at the lowest frequency that is trusted. */
function bassDb(run: readonly BassLevel[]): number {
  const at = run[0].relative.findIndex((level) => level !== null);
  return plateauMean(run, Math.max(0, at))?.value ?? 0;
}

function overlaps(one: readonly BassLevel[], other: readonly BassLevel[]): boolean {
  return one.some((level) => other.includes(level));
}
