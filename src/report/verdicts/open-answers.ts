import { recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import type { TapLabel } from '../wording/statement.ts';
import { type Answer, firstAdvice, grouped } from './answer.ts';

/** What has to be recorded first, and what cannot be done. */
export function openAnswers(results: Results, label: TapLabel): Answer[] {
  const next = grouped(
    recommendationsOf(results.recommendations, 'record-next'),
    ({ what, settings, blocks }) => JSON.stringify([what, settings, blocks]),
  );
  return [
    ...next.map((group) => ({
      ...firstAdvice({ ...group[0], tapIds: [...new Set(group.flatMap(({ tapIds }) => tapIds))] }, label),
      evidenceIds: group.map(({ id }) => id),
    })),
    ...recommendationsOf(results.recommendations, 'cannot-be-done').map((item) => firstAdvice(item, label)),
  ];
}
