import type { Outcome } from './outcome.ts';
import { type ClaimRow, GOAL_SNR_DB, type ReadingRow, type Summary, summarise } from './summarise.ts';

/** The study as Markdown: what it rests on, then numbers and claims at 50 dB or better, then the noisier rest. */
export function tables(outcomes: readonly Outcome[]): string {
  const [clean, noisy] = [true, false].map((atGoal) => summarise(outcomes, { atGoal }));
  const { systems, systemsAtGoal, nothingToFind, seconds, failures } = clean;
  return [
    `${systems} systems, ${systemsAtGoal} of them at ${GOAL_SNR_DB} dB SNR or better (${nothingToFind} of these with nothing to find).`,
    `CPU and waiting: ${seconds.simulated.toFixed(0)} s to make the recordings, ${seconds.analysed.toFixed(0)} s to analyse them.`,
    ...failures.map(({ seed, failure }) => `Left out or broken: seed ${seed}: ${failure}`),
    '',
    `### At ${GOAL_SNR_DB} dB or better`,
    ...both(clean),
    '',
    `### Below ${GOAL_SNR_DB} dB`,
    ...both(noisy),
  ].join('\n');
}

function both({ readings, claims }: Summary): string[] {
  return [
    '',
    '| quantity | cases | median | 95th percentile | worst | stated uncertainty covers |',
    '|---|---|---|---|---|---|',
    ...readings.map(readingLine),
    '',
    '| claim | there | not there | false | missed | wrongly withheld | rightly withheld | false at most (95 %) |',
    '|---|---|---|---|---|---|---|---|',
    ...claims.map(claimLine),
  ];
}

function readingLine({ what, unit, count, median, percentile95, worst, covered }: ReadingRow): string {
  const number = (value: number) => value.toPrecision(2);
  const coverage =
    covered === null
      ? ''
      : `${percent(covered.part)} (${covered.interval.map((end) => percent(end)).join(' to ')})`;
  return `| ${what}, ${unit} | ${count} | ${number(median)} | ${number(percentile95)} | ${number(worst)} | ${coverage} |`;
}

function claimLine(row: ClaimRow): string {
  const { what, present, absent, falseClaims, misses, wronglyWithheld, rightlyWithheld, falseAtMost } = row;
  return `| ${what} | ${present} | ${absent} | ${falseClaims} | ${misses} | ${wronglyWithheld} | ${rightlyWithheld} | ${percent(falseAtMost)} |`;
}

function percent(part: number): string {
  return `${(100 * part).toFixed(1)} %`;
}
