import type { Outcome } from './outcome.ts';
import { GOAL_SNR_DB } from './summarise.ts';

const WORST_OF_EACH = 6;
/** An error of so many times its stated 95 % uncertainty is no chance. */
const FAR_OUT = 2.5;

/** What to look into: every wrong or withheld claim, and of each quantity the largest errors and those far beyond their uncertainty. */
export function worstCases(outcomes: readonly Outcome[]): string {
  const claims = outcomes.flatMap(({ seed, claims: all }) => all.map((claim) => ({ seed, ...claim })));
  const readings = outcomes.flatMap(({ seed, readings: all }) =>
    all.map((reading) => ({ seed, ...reading })),
  );
  const wrong = (['false claim', 'miss', 'wrongly withheld'] as const).flatMap((judgement) =>
    claims
      .filter((claim) => claim.judgement === judgement)
      .sort((one, other) => one.what.localeCompare(other.what) || other.snrDb - one.snrDb)
      .map(
        ({ seed, what, snrDb, where, detail }) =>
          `${judgement}: ${what}, seed ${seed}, ${snrDb.toFixed(0)} dB, ${where}: ${detail}`,
      ),
  );
  const quantities = [...new Set(readings.map(({ what }) => what))].sort();
  const large = quantities.flatMap((quantity) => {
    const own = readings.filter(({ what, snrDb }) => what === quantity && snrDb >= GOAL_SNR_DB);
    const worst = [...own]
      .sort((one, other) => Math.abs(other.error) - Math.abs(one.error))
      .slice(0, WORST_OF_EACH);
    const farOut = own.filter(
      (reading) =>
        !worst.includes(reading) &&
        reading.plusMinus !== null &&
        Math.abs(reading.error) > FAR_OUT * reading.plusMinus,
    );
    return [...worst, ...farOut].map(
      ({ seed, what, error, unit, plusMinus, snrDb, where, detail }) =>
        `error: ${what} ${error.toPrecision(3)} ${unit} (stated ${plusMinus?.toPrecision(2) ?? '-'}), seed ${seed}, ${snrDb.toFixed(0)} dB, ${where}: ${detail}`,
    );
  });
  return [...wrong, ...large].join('\n');
}
