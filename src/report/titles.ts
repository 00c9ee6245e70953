import type { Results } from '../model/results.ts';
import { recommendationWords } from './wording/recommendation-words.ts';
import type { TapLabel } from './wording/statement.ts';
import { findingWords } from './wording.ts';

/** What findings and recommendations are called in headings and links, by id. */
export function titlesOf(results: Results, label: TapLabel): ReadonlyMap<string, string> {
  return new Map([
    ...results.findings.map((finding) => {
      const taps = finding.tapIds.map(label).join(', ');
      const { subject } = findingWords(finding, label);
      return [finding.id, taps === '' ? subject : `${subject}: ${taps}`] as const;
    }),
    ...results.recommendations.map((item) => [item.id, recommendationWords(item, label).title] as const),
  ]);
}
