import { isNotMeasurable } from '../../../model/measured.ts';
import { codeOf } from '../../../model/reason.ts';
import { type RecommendationOf, recommendationsOf } from '../../../model/recommendation.ts';
import type { Results } from '../../../model/results.ts';
import { counted, listed } from '../../../words/figures.ts';
import { roundDb, significant } from '../../format.ts';
import { say } from '../../sentence.ts';
import { waitsForBass } from '../feed-words.ts';
import type { VerdictLine } from './verdict-line.ts';

/** What to buy; nothing before the verdict allows the job. */
export function orderLine({ recommendations, chain }: Results): VerdictLine[] {
  const waits = recommendationsOf(recommendations, 'restoration').some((one) => one.waits === true);
  const on24Volts = recommendationsOf(recommendations, 'supply').some(({ cautions }) =>
    cautions.some((caution) => codeOf(caution) === 'parts for 24 V'),
  );
  const parts = on24Volts ? ' Every part must be for 24 V.' : '';
  return recommendationsOf(recommendations, 'order').map((order) => ({
    name: 'Order',
    sentence: say`${chain?.verdict === 'not like this' ? 'Nothing yet.' : orderSentence(order, waits)}${parts}`,
    known: true,
    evidenceIds: [order.id],
  }));
}

/** @param restorationWaits where how much is not known yet, no figure is ordered by */
function orderSentence(order: RecommendationOf<'order'>, restorationWaits: boolean): string {
  if (order.nothingToOrder) return 'Nothing.';
  const volts = isNotMeasurable(order.inputRatingVoltsRms)
    ? ''
    : ` for ${significant(order.inputRatingVoltsRms.value, 2)} V`;
  const abilities = [
    `${counted(order.inputs, 'input')}${volts}`,
    ...(order.summing ? ['summing'] : []),
    ...(order.delay ? ['delay'] : []),
    ...(order.restorationDb > 0
      ? [restorationWaits ? 'restoration' : `${roundDb(order.restorationDb)} of restoration`]
      : []),
  ];
  if (waitsForBass(order))
    return `Nothing before the bass is known; then a converter with ${listed(abilities)}.`;
  const { given } = order;
  const fallsShort = given !== null && given.shortfalls.length > 0;
  return `Converter with ${listed(abilities)}${fallsShort ? '; yours falls short' : ''}.`;
}
