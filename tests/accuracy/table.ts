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
    ...byKind(outcomes),
  ].join('\n');
}

/** Where some are unusual: each kind with all of its claims and stated numbers, at the goal's SNR and below. */
function byKind(outcomes: readonly Outcome[]): string[] {
  const kinds = [...new Set(outcomes.flatMap(({ unusual }) => unusual ?? []))].sort();
  if (kinds.length === 0) return [];
  const line = (kind: string, of: readonly Outcome[], atGoal: boolean) => {
    const isIn = ({ snrDb }: { snrDb: number }) => snrDb >= GOAL_SNR_DB === atGoal;
    const claims = of.flatMap((outcome) => outcome.claims).filter(isIn);
    const stated = of
      .flatMap((outcome) => outcome.readings)
      .filter((reading) => isIn(reading) && reading.plusMinus !== null);
    const count = (judgement: string) => claims.filter((claim) => claim.judgement === judgement).length;
    const hits = stated.filter(({ error, plusMinus }) => Math.abs(error) <= plusMinus!).length;
    const covers = stated.length === 0 ? '' : `${percent(hits / stated.length)} of ${stated.length}`;
    return `| ${kind} | ${atGoal ? 'from' : 'below'} ${GOAL_SNR_DB} dB | ${of.length} | ${claims.length} | ${count('false claim')} | ${count('miss')} | ${count('wrongly withheld')} | ${covers} |`;
  };
  return [
    '',
    '### By kind of radio and recorder',
    '',
    '| kind | SNR | systems | claims | false | missed | wrongly withheld | stated uncertainty covers |',
    '|---|---|---|---|---|---|---|---|',
    ...[null, ...kinds].flatMap((kind) => {
      const own = outcomes.filter(({ unusual }) => unusual === kind);
      return [true, false].map((atGoal) => line(kind ?? 'usual', own, atGoal));
    }),
  ];
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
