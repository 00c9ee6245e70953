import type { Recommendation } from '../model/recommendation.ts';
import type { Results } from '../model/results.ts';
import type { PlanComparison } from '../recommend/compare-plans.ts';
import { plainText } from './sentence.ts';
import { tapLabelOf } from './tap-label.ts';
import { adviceTitle } from './titles.ts';
import { recommendationWords } from './wording/recommendation-words.ts';

/** What another plan does differently, in lines for the terminal: what stays by its title, what changes with both states. */
export function comparisonLines({
  comparison: { stays, changes, added, dropped },
  before,
  after,
}: {
  readonly comparison: PlanComparison;
  readonly before: Results;
  readonly after: Results;
}): string[] {
  const old = wordsById(before);
  const now = wordsById(after);
  const titles = (ids: readonly string[], words: ReadonlyMap<string, Words>) => [
    ...new Set(ids.map((id) => words.get(id)?.title ?? id)),
  ];
  const line = (label: string, list: readonly string[]) =>
    list.length === 0 ? [] : [`${label}: ${list.join('; ')}.`];
  const changed = changes.map(({ id }) => {
    const [was, is] = [old.get(id), now.get(id)];
    const title = is?.title ?? id;
    return was === undefined || is === undefined || was.says === is.says
      ? `  ${title}: in details.`
      : `  ${title}: ${is.says} (Was: ${was.says})`;
  });
  return [
    ...line('Stays as it was', titles(stays, now)),
    ...(changed.length === 0 ? [] : ['Changes:', ...changed]),
    ...line('New', titles(added, now)),
    ...line('No longer', titles(dropped, old)),
  ];
}

interface Words {
  readonly title: string;
  /** What to set, or the first thing to know. */
  readonly says: string;
}

function wordsById(results: Results): ReadonlyMap<string, Words> {
  const label = tapLabelOf(results);
  const wordsOf = (item: Recommendation): Words => {
    const words = recommendationWords(item, label);
    const { statements, step } = words;
    return { title: adviceTitle(words), says: plainText(step?.setTo ?? statements[0]?.sentence ?? []) };
  };
  return new Map(results.recommendations.map((item) => [item.id, wordsOf(item)]));
}
