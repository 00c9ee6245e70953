import { atMost, clopperPearson } from './confidence.ts';
import type { Claim, Outcome, Reading } from './outcome.ts';

/** Goals are stated for recordings at this SNR or better. */
export const GOAL_SNR_DB = 50;

export interface ReadingRow {
  readonly what: string;
  readonly unit: string;
  readonly count: number;
  readonly median: number;
  readonly percentile95: number;
  readonly worst: number;
  /** Part of the cases whose stated uncertainty covers the truth, with its 95 % interval; null where none is stated. */
  readonly covered: { readonly part: number; readonly interval: readonly [number, number] } | null;
}

export interface ClaimRow {
  readonly what: string;
  readonly present: number;
  readonly absent: number;
  readonly falseClaims: number;
  readonly misses: number;
  readonly wronglyWithheld: number;
  readonly rightlyWithheld: number;
  /** 95 % upper bound of the part of cases with a false claim. */
  readonly falseAtMost: number;
}

export interface Summary {
  readonly systems: number;
  readonly systemsAtGoal: number;
  readonly nothingToFind: number;
  readonly failures: readonly { readonly seed: number; readonly failure: string }[];
  readonly readings: readonly ReadingRow[];
  readonly claims: readonly ClaimRow[];
  readonly seconds: { readonly simulated: number; readonly analysed: number };
}

/** @param atGoal true for the cases at `GOAL_SNR_DB` or better, false for the rest */
export function summarise(outcomes: readonly Outcome[], { atGoal }: { atGoal: boolean }): Summary {
  const chosen = <Case extends { snrDb: number }>(cases: readonly Case[]) =>
    cases.filter(({ snrDb }) => snrDb >= GOAL_SNR_DB === atGoal);
  const readings = grouped(chosen(outcomes.flatMap((outcome) => outcome.readings)));
  const claims = grouped(chosen(outcomes.flatMap((outcome) => outcome.claims)));
  const total = (of: (outcome: Outcome) => number) => outcomes.reduce((sum, outcome) => sum + of(outcome), 0);
  return {
    systems: outcomes.length,
    systemsAtGoal: chosen(outcomes).length,
    nothingToFind: chosen(outcomes).filter(({ nothingToFind }) => nothingToFind).length,
    failures: outcomes.flatMap(({ seed, failure }) => (failure === null ? [] : [{ seed, failure }])),
    readings: readings.map(([what, cases]) => readingRow(what, cases)),
    claims: claims.map(([what, cases]) => claimRow(what, cases)),
    seconds: {
      simulated: total(({ seconds }) => seconds.simulated),
      analysed: total(({ seconds }) => seconds.analysed),
    },
  };
}

function grouped<Case extends { what: string }>(cases: readonly Case[]): [string, Case[]][] {
  const groups = new Map<string, Case[]>();
  for (const one of cases) groups.set(one.what, [...(groups.get(one.what) ?? []), one]);
  return [...groups].sort(([one], [other]) => one.localeCompare(other));
}

function readingRow(what: string, cases: readonly Reading[]): ReadingRow {
  const errors = cases.map(({ error }) => Math.abs(error)).sort((one, other) => one - other);
  const stated = cases.filter(({ plusMinus }) => plusMinus !== null);
  const hits = stated.filter(({ error, plusMinus }) => Math.abs(error) <= plusMinus!).length;
  return {
    what,
    unit: cases[0].unit,
    count: cases.length,
    median: quantile(errors, 0.5),
    percentile95: quantile(errors, 0.95),
    worst: errors[errors.length - 1],
    covered:
      stated.length === 0
        ? null
        : { part: hits / stated.length, interval: clopperPearson({ hits, count: stated.length }) },
  };
}

/** Nearest rank: the smallest value that at least this part of the cases does not exceed. */
function quantile(sorted: readonly number[], part: number): number {
  return sorted[Math.max(0, Math.ceil(part * sorted.length) - 1)];
}

function claimRow(what: string, cases: readonly Claim[]): ClaimRow {
  const count = (...judgements: Claim['judgement'][]) =>
    cases.filter(({ judgement }) => judgements.includes(judgement)).length;
  const falseClaims = count('false claim');
  const answered = count('right claim', 'right silence', 'false claim', 'miss');
  return {
    what,
    present: count('right claim', 'miss'),
    absent: count('right silence'),
    falseClaims,
    misses: count('miss'),
    wronglyWithheld: count('wrongly withheld'),
    rightlyWithheld: count('rightly withheld'),
    falseAtMost: atMost({ hits: falseClaims, count: answered }),
  };
}
