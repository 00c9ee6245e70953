import { recommendationsOf } from '../../../model/recommendation.ts';
import type { Results } from '../../../model/results.ts';
import { listed } from '../../../words/figures.ts';
import { say } from '../../sentence.ts';
import { outputNames } from '../output-names.ts';
import { capitalised, type TapLabel } from '../statement.ts';
import { idsOf, type VerdictLine } from './verdict-line.ts';

/** What feeds what, and which pairs to swap. */
export function outputsLine(results: Results, label: TapLabel): VerdictLine {
  const feeds = recommendationsOf(results.recommendations, 'feed');
  const outputs = [...new Set(feeds.map(({ output }) => output))];
  const sources = outputs.map((output) => {
    const own = feeds.filter((feed) => feed.output === output);
    const taps = own.flatMap((feed) => feed.taps.map(({ tapId }) => tapId));
    const names = outputNames(results, taps, label);
    return { output, source: own.some((feed) => feed.summed) ? names.replace(/, | and /g, ' + ') : names };
  });
  const own = sources.filter(
    ({ output, source }) => output === source && sources.filter((one) => one.source === source).length === 1,
  );
  const others = sources.filter((one) => !own.includes(one));
  const clauses = [
    ...[...new Set(others.map(({ source }) => source))].map((source) => {
      const fed = others.filter((one) => one.source === source).map(({ output }) => output);
      return `${listed(fed)} from ${source}`;
    }),
    ...(own.length === 0
      ? []
      : [
          `${listed(own.map(({ output }) => output))} from ${own.length === 1 ? 'its' : 'their'} own outputs`,
        ]),
  ];
  const swapped = [
    ...new Set(
      feeds.flatMap(({ taps }) =>
        taps.flatMap(({ tapId, polarity }) => (polarity === 'inverted' ? [label(tapId)] : [])),
      ),
    ),
  ];
  const swap = swapped.length === 0 ? [] : [`swap ${listed(swapped)} +/\u2212`];
  const known = feeds.length > 0;
  return {
    name: 'Outputs',
    sentence: known
      ? say`${capitalised([...clauses, ...swap].join('; '))}.`
      : say`Not known yet: no output has a known band.`,
    known: known,
    evidenceIds: idsOf(feeds),
  };
}
