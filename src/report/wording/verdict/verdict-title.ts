import { codeOf, type Reason } from '../../../model/reason.ts';
import type { Results } from '../../../model/results.ts';
import { amount } from '../../../words/figures.ts';
import { fixed, formatSetting, plainHz } from '../../format.ts';
import { type Sentence, say } from '../../sentence.ts';
import { notSettledWords } from '../not-settled-words.ts';
import { outputNames, outputsText } from '../output-names.ts';
import { asClause, capitalised, type TapLabel } from '../statement.ts';

/** "Do it, with limits", and why; null where no chain was solved. What the lines say themselves is not said twice. */
export function verdictTitle(results: Results, label: TapLabel): { title: string; because: Sentence } | null {
  const { chain } = results;
  if (chain === undefined) return null;
  const isSettled = notSettledWords(results, label) === null;
  const titles = {
    'do it': isSettled ? 'Do it.' : 'Do it, once the first line is settled.',
    'do it with limits': isSettled
      ? 'Do it, with limits.'
      : 'Do it with limits, once the first line is settled.',
    'not like this': 'Not like this.',
  } as const;
  const said = chain.because.filter((reason) => !SAID_IN_A_LINE.has(codeOf(reason) ?? ''));
  const sentences = [
    ...new Set(
      (said.length > 0 ? said : chain.because).map((reason) => reasonSentence(reason, results, label)),
    ),
  ];
  return { title: titles[chain.verdict], because: say`${sentences.slice(0, MOST_REASONS).join(' ')}` };
}

/** More than two reasons are no verdict; the others stand with the advice. */
const MOST_REASONS = 2;

const SAID_IN_A_LINE: ReadonlySet<string> = new Set([
  'volume ends early',
  'restoration holds up to',
  'amplifier takes no more above',
  'no bass at any output',
  'bass held by the limiter',
]);

function reasonSentence(reason: Reason, results: Results, label: TapLabel): string {
  const because = results.chain?.because ?? [];
  switch (reason.code) {
    case 'tweeter not protected yet':
      return `First protect the ${outputNames(results, reason.tapIds, label)} speakers below ${plainHz(reason.notBelowHz)}.`;
    case 'noise is high': {
      const all = because.flatMap((one) => (one.code === reason.code ? [one] : []));
      const names = outputsText(
        results,
        all.map(({ tapId }) => tapId),
        label,
      );
      const least = Math.min(...all.map(({ belowFullOutputDb }) => belowFullOutputDb));
      return `The noise on ${names} is only ${fixed(least, 0)} dB below full output.`;
    }
    case 'loss known as a minimum':
      return 'The subwoofer waits until the bass cut is known.';
    case 'bass held by the limiter':
      return 'A limiter in the radio holds the bass.';
    case 'volume ends early':
    case 'restoration holds up to':
    case 'amplifier takes no more above':
      return `The volume ends at ${formatSetting(reason.setting)}.`;
    case 'lowest load not noted':
      return `${capitalised(reason.amplifier)} is rated for ${amount(reason.ratedOhms)} Ω and gets ${amount(reason.loadOhms)} Ω: check its plate or rewire the load.`;
    default:
      return `${capitalised(asClause(reason))}.`;
  }
}
