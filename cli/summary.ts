import type { Finding } from '../src/model/finding.ts';
import type { Recommendation } from '../src/model/recommendation.ts';
import type { Results } from '../src/model/results.ts';
import { plainText } from '../src/report/sentence.ts';
import { recommendationWords } from '../src/report/wording/recommendation-words.ts';
import { findingWords } from '../src/report/wording.ts';

/** The verdicts in the words of the report, for the terminal. */
export function summaryOf(results: Results): string {
  const labels = new Map(results.session.taps.map(({ id, label }) => [id, label]));
  const tapLabel = (tapId: string) => labels.get(tapId) ?? tapId;
  const findingLine = (finding: Finding) => {
    const { subject, statements } = findingWords(finding, tapLabel);
    return `  ${finding.tapIds.map(tapLabel).join(', ')}: ${subject}. ${plainText(statements[0].sentence)}`;
  };
  const adviceLine = (item: Recommendation) => {
    const { title, statements } = recommendationWords(item, tapLabel);
    return `  ${title}: ${plainText(statements[0].sentence)}`;
  };
  return [
    section('What the radio does', results.findings.map(findingLine)),
    section('What to do', results.recommendations.map(adviceLine)),
    section(
      'To know',
      results.notes.map(({ file, text }) => (file === null ? `  ${text}` : `  ${file}: ${text}`)),
    ),
  ]
    .filter((part) => part !== '')
    .join('\n');
}

function section(title: string, lines: readonly string[]): string {
  return lines.length === 0 ? '' : `${title}\n${lines.join('\n')}\n`;
}
