import type { Finding } from '../../model/finding.ts';
import type { Reason } from '../../model/reason.ts';
import type { Recommendation } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { listed } from '../../words/figures.ts';
import { type Sentence, say } from '../sentence.ts';
import { recommendationWords } from '../wording/recommendation-words.ts';
import { asClause, capitalised, type Statement, type TapLabel } from '../wording/statement.ts';
import { findingWords } from '../wording.ts';

export interface Answer extends Statement {
  /** Findings and recommendations behind it. */
  readonly evidenceIds: readonly string[];
  /** It is a step of the settings to dial in, which a page shows as a table of its own. */
  readonly dialIn?: true;
}

export function answer(sentence: Sentence, behind: readonly { id: string }[]): Answer {
  return { sentence, known: true, evidenceIds: behind.map(({ id }) => id) };
}

export function firstWords(finding: Results['findings'][number], label: TapLabel): Answer {
  return { ...findingWords(finding, label).statements[0], evidenceIds: [finding.id] };
}

export function firstAdvice(item: Recommendation, label: TapLabel): Answer {
  return { ...recommendationWords(item, label).statements[0], evidenceIds: [item.id] };
}

export function prefixed(finding: Results['findings'][number], results: Results, label: TapLabel): Answer {
  const first = firstWords(finding, label);
  return {
    ...first,
    sentence: say`${capitalised(tapsOf(results, [finding], label))}: ${afterColon(first.sentence)}`,
  };
}

/** Findings that say the same first are said once, for all their taps: those in which `says` is the same. */
export function alike<Found extends Finding>(
  findings: readonly Found[],
  says: (finding: Found) => string,
  { results, label }: { results: Results; label: TapLabel },
): Answer[] {
  return grouped(findings, says).map((group) => {
    const { sentence, known } = firstWords(group[0], label);
    const taps = capitalised(tapsOf(results, group, label));
    return { sentence: say`${taps}: ${afterColon(sentence)}`, known, evidenceIds: group.map(({ id }) => id) };
  });
}

export function unclearAnswer(
  what: string,
  results: Results,
  group: readonly { id: string; tapIds: readonly string[]; reason: Reason | null }[],
  label: TapLabel,
): Answer {
  const reason = asClause(group[0].reason ?? 'no take shows it');
  return {
    sentence: say`Not known of ${tapsOf(results, group, label)}: ${what}, because ${reason}.`,
    known: false,
    evidenceIds: group.map(({ id }) => id),
  };
}

/** Names of the taps of some findings; "every tap" where it is more than two and all of them. */
export function tapsOf(
  results: Results,
  group: readonly { tapIds: readonly string[] }[],
  label: TapLabel,
): string {
  const ids = [...new Set(group.flatMap(({ tapIds }) => tapIds))];
  if (ids.length > 2 && ids.length === results.session.taps.length) return 'every output';
  return listed(ids.map(label));
}

export function grouped<Item>(items: readonly Item[], key: (item: Item) => string): Item[][] {
  const groups = new Map<string, Item[]>();
  for (const item of items) groups.set(key(item), [...(groups.get(key(item)) ?? []), item]);
  return [...groups.values()];
}

export function afterColon([first, ...rest]: Sentence): Sentence {
  return typeof first === 'string'
    ? [first.charAt(0).toLowerCase() + first.slice(1), ...rest]
    : [first, ...rest];
}
