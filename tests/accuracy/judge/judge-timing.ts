import { type Finding, findingsOf } from '../../../src/model/finding.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import { reasonText } from '../../../src/words/reason-text.ts';
import { type Claim, judgedName, type Reading } from '../outcome.ts';
import { octavesCarried } from './judge-band.ts';
import type { TrueTap } from './true-tap.ts';

/** Goals for delay are stated for taps that share two octaves above this, or are both full range. */
const SHARED_ABOVE_HZ = 500;
const SHARED_OCTAVES = 2;

/** Delay and polarity of every tap against the one that the analysis chose as reference. */
export function judgeTiming(
  taps: readonly TrueTap[],
  findings: readonly Finding[],
): { claims: Claim[]; readings: Reading[] } {
  const claims: Claim[] = [];
  const readings: Reading[] = [];
  for (const { tapId, referenceTapId, delaySeconds, polarity, reason } of findingsOf(findings, 'timing')) {
    const [one, reference] = [tapId, referenceTapId].map((id) => taps.find(({ tap }) => tap.id === id)!);
    // Behind an all-pass a delay and a polarity are what one calls them.
    if (JSON.stringify(one.tap.allPass) !== JSON.stringify(reference.tap.allPass)) continue;
    const common = { snrDb: one.factory.snrDb, where: `${tapId} against ${referenceTapId}` };
    const shared =
      Math.min(octavesCarried(one, SHARED_ABOVE_HZ), octavesCarried(reference, SHARED_ABOVE_HZ)) >=
      SHARED_OCTAVES;
    const what = shared ? 'delay' : 'delay of taps that share little';
    // In seconds of the player's clock, to which responses are corrected.
    const expectedMicroseconds = one.tap.delayMicroseconds - reference.tap.delayMicroseconds;
    const filters = [one, reference].map(({ tap }) => JSON.stringify(tap.crossover)).join(' ');
    claims.push({
      what: shared ? 'polarity' : 'polarity of taps that share little',
      ...common,
      judgement: judgedName({
        truth: one.tap.inverted === reference.tap.inverted ? 'same' : 'inverted',
        said: polarity === 'ambiguous' ? null : polarity,
        answerable: shared,
      }),
      detail: `${reason ?? ''} ${filters}`,
    });
    if (isNotMeasurable(delaySeconds)) {
      claims.push({
        what: 'delay stated',
        ...common,
        judgement: shared ? 'wrongly withheld' : 'rightly withheld',
        detail: reasonText(delaySeconds.notMeasurable),
      });
      continue;
    }
    readings.push({
      what,
      unit: 'microseconds',
      error: 1e6 * delaySeconds.value - expectedMicroseconds,
      plusMinus: 1e6 * delaySeconds.plusMinus,
      ...common,
      detail: `truth ${expectedMicroseconds.toFixed(1)} ${filters} eq ${JSON.stringify(one.tap.fixedEq)}`,
    });
  }
  return { claims, readings };
}
