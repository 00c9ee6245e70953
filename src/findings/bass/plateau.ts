import { mean } from '../../dsp/statistics.ts';
import { type NotMeasurable, notMeasurable } from '../../model/measured.ts';
import type { BassLevel } from './bass-levels.ts';
import type { Estimate } from './level-profile.ts';

/** Settings between which bass does not change: three or more within this (the definition of the reference for bass loss). */
export const PLATEAU_DB = 0.5;
const FEWEST_SETTINGS = 3;
/** Settings borrowed from another tap's plateau: two do, and so many must know the level at a frequency. */
const FEWEST_KNOWN = 2;
/** Spread that noise alone may make, in standard deviations of a difference. */
const NOISE_SPREAD = 3;
/** A level known no better says nothing of a plateau: three of it are a decibel (30 dB of signal to noise at 40 Hz). */
const MOST_SIGMA_DB = 0.35;
/** Of two plateaus, the one whose bass lies nearer to the middle by this much is the radio's own response. */
const CLEARLY_FLATTER_DB = 2;

/**
 * The plateau, or why there is none. Of several the longest is taken; where two stand apart, the flatter is the radio's own
 * response (the other is a lift below it or a cut above it), and where that does not tell, nothing does. Settings at which no
 * bass stands clear of the noise are no part of one.
 */
export function findPlateau(all: readonly BassLevel[]): readonly BassLevel[] | NotMeasurable {
  const levels = all.filter(isClear);
  if (levels.length < FEWEST_SETTINGS)
    return notMeasurable({ code: 'too few settings for a plateau', count: levels.length });
  const runs = longestRuns(levels);
  if (runs.length === 0) return notMeasurable({ code: 'no three settings agree' });
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
    : notMeasurable({ code: 'two ranges hold at different bass' });
}

/** Settings of another tap's plateau at which this tap agrees with itself; null where it does not. */
export function plateauOfAnotherTap(
  levels: readonly BassLevel[],
  plateauSettings: readonly number[],
): readonly BassLevel[] | null {
  const shared = levels.filter((level) => plateauSettings.includes(level.setting) && isClear(level));
  return shared.length >= FEWEST_KNOWN && isSteady(shared) ? shared : null;
}

/** The lowest setting and its neighbours that agree with it: what a loss is held against for want of a plateau; null for none. */
export function lowestAlike(levels: readonly BassLevel[]): readonly BassLevel[] | null {
  const clear = levels.filter(isClear);
  if (clear.length === 0) return null;
  let end = 1;
  while (end < clear.length && isSteady(clear.slice(0, end + 1))) end++;
  return clear.slice(0, end);
}

/**
 * Mean of the plateau at each bass frequency; null where fewer than two of its settings know it (one, if it has no more). What
 * they differ by beyond their noise makes it less certain.
 */
export function plateauMean(plateau: readonly BassLevel[], at: number): Estimate | null {
  const values = plateau.flatMap((level) => knownAt(level, at) ?? []);
  if (values.length < Math.min(FEWEST_KNOWN, plateau.length)) return null;
  const count = values.length;
  const middle = mean(values.map(({ value }) => value));
  const noise = values.reduce((sum, { sigma }) => sum + sigma ** 2, 0);
  const scatter = values.reduce((sum, { value }) => sum + (value - middle) ** 2, 0) / Math.max(1, count - 1);
  const beyondNoise = Math.max(0, scatter - noise / count) / count;
  return { value: middle, sigma: Math.sqrt(noise / count ** 2 + beyondNoise) };
}

/** The level at one of the bass frequencies where it is known well enough; null otherwise. */
function knownAt({ relative }: BassLevel, at: number): Estimate | null {
  const level = relative[at];
  return level !== null && level.sigma <= MOST_SIGMA_DB ? level : null;
}

function isClear(level: BassLevel): boolean {
  return level.relative.some((_, at) => knownAt(level, at) !== null);
}

/** Every run of neighbours that is steady and cannot be made longer. */
function longestRuns(levels: readonly BassLevel[]): (readonly BassLevel[])[] {
  const runs: (readonly BassLevel[])[] = [];
  let lastEnd = 0;
  for (let start = 0; start < levels.length; start++) {
    let end = start + 1;
    while (end < levels.length && isSteady(levels.slice(start, end + 1))) end++;
    if (end - start >= FEWEST_SETTINGS && end > lastEnd && meets(levels.slice(start, end)))
      runs.push(levels.slice(start, end));
    lastEnd = Math.max(lastEnd, end);
  }
  return runs;
}

/** Whether as many settings as a plateau needs know the level at one frequency. */
function meets(run: readonly BassLevel[]): boolean {
  return run[0].relative.some(
    (_, at) => run.filter((level) => knownAt(level, at) !== null).length >= FEWEST_SETTINGS,
  );
}

/** At each frequency, and in the mean of all of them, whose noise is lower. */
export function isSteady(run: readonly BassLevel[]): boolean {
  const perFrequency = run[0].relative.map((_, at) => run.flatMap((level) => knownAt(level, at) ?? []));
  const everywhere = run.flatMap((level) => {
    const known = level.relative.flatMap((_, at) => knownAt(level, at) ?? []);
    return known.length === level.relative.length ? [known] : [];
  });
  const means = everywhere.map((known) => ({
    value: mean(known.map(({ value }) => value)),
    sigma: Math.hypot(...known.map(({ sigma }) => sigma)) / known.length,
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
    const levels = run.flatMap((level) => knownAt(level, at)?.value ?? []);
    return levels.length === 0 ? 0 : Math.max(...levels) - Math.min(...levels);
  });
  return Math.max(...spreads);
}

/** Bass of a plateau at the lowest frequency that is known. */
function bassDb(run: readonly BassLevel[]): number {
  // Every run that `meets` has one.
  const [lowest] = run[0].relative.flatMap((_, at) => plateauMean(run, at) ?? []);
  return lowest.value;
}

function overlaps(one: readonly BassLevel[], other: readonly BassLevel[]): boolean {
  return one.some((level) => other.includes(level));
}
