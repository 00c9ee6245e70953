import { codeOf } from '../../../model/reason.ts';
import { recommendationsOf } from '../../../model/recommendation.ts';
import type { Results } from '../../../model/results.ts';
import { say } from '../../sentence.ts';
import { cannotText, recordText } from '../install-words.ts';
import { outputsSaid } from '../output-names.ts';
import { asClause, capitalised, type TapLabel } from '../statement.ts';
import type { VerdictLine } from './verdict-line.ts';

/** What has to be recorded or looked at before anything else, or what cannot be done. */
export function firstLine(results: Results, label: TapLabel): VerdictLine[] {
  const { recommendations } = results;
  const next = recommendationsOf(recommendations, 'record-next');
  const [item] = next.toSorted((one, other) => Number(other.blocks) - Number(one.blocks));
  if (item?.blocks !== true) {
    // A tone control that was turned up clips early, and moves the level of everything that is set.
    const tone = results.checks?.notes.find(({ reason }) => codeOf(reason) === 'tone off centre');
    if (tone !== undefined)
      return [
        {
          name: 'First',
          sentence: say`${capitalised(asClause(tone.reason))}`,
          known: false,
          evidenceIds: [],
        },
      ];
  }
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
