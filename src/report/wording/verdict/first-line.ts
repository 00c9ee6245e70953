import { recommendationsOf } from '../../../model/recommendation.ts';
import type { Results } from '../../../model/results.ts';
import { say } from '../../sentence.ts';
import { cannotText, recordText } from '../install-words.ts';
import { outputsSaid } from '../output-names.ts';
import type { TapLabel } from '../statement.ts';
import type { VerdictLine } from './verdict-line.ts';

/** What has to be recorded before anything else, or what cannot be done. */
export function firstLine(results: Results, label: TapLabel): VerdictLine[] {
  const { recommendations } = results;
  const next = recommendationsOf(recommendations, 'record-next');
  const [item] = [...next.filter(({ blocks }) => blocks), ...next];
  if (item !== undefined) {
    const taps = item.tapIds.length === 0 ? '' : ` on ${outputsSaid(results, item.tapIds, label)}`;
    return [
      {
        name: item.blocks ? 'First' : 'Next',
        sentence: say`${recordText(item, taps)}`,
        known: false,
        evidenceIds: [item.id],
      },
    ];
  }
  const said = new Set((results.chain?.because ?? []).map((reason) => JSON.stringify(reason)));
  const limit = recommendationsOf(recommendations, 'cannot-be-done').find(
    ({ bindingLimit }) => !said.has(JSON.stringify(bindingLimit)),
  );
  if (limit === undefined) return [];
  return [
    {
      name: 'First',
      sentence: say`${cannotText(limit)}.`,
      known: false,
      evidenceIds: [limit.id],
    },
  ];
}
