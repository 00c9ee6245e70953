import type { Results } from '../model/results.ts';
import type { FindingGroup } from './finding-groups.ts';
import { recommendationWords } from './wording/recommendation-words.ts';
import type { TapLabel } from './wording/statement.ts';

/** What findings and recommendations are called in headings and links, by id. */
export function titlesOf(
  results: Results,
  groups: readonly FindingGroup[],
  label: TapLabel,
): ReadonlyMap<string, string> {
  return new Map([
    ...groups.flatMap(({ findings, title }) => findings.map(({ id }) => [id, title] as const)),
    ...results.recommendations.map(
      (item) => [item.id, adviceTitle(recommendationWords(item, label))] as const,
    ),
  ]);
}

/** "High-pass: front". */
export function adviceTitle({ title, of }: { title: string; of?: string | undefined }): string {
  return of === undefined ? title : `${title}: ${of}`;
}
