import { type FindingOf, findingsOf } from '../../model/finding.ts';
import { type Recommendation, recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { plainText, say } from '../sentence.ts';
import { recommendationWords } from '../wording/recommendation-words.ts';
import type { TapLabel } from '../wording/statement.ts';
import { findingWords } from '../wording.ts';
import { type Answer, afterColon, alike, firstAdvice, grouped, prefixed, tapsOf } from './answer.ts';

/** How far may the volume go, and what is each gain set to? */
export function levelAnswers(results: Results, label: TapLabel): Answer[] {
  const highest = recommendationsOf(results.recommendations, 'highest-clean-setting');
  const clean = findingsOf(results.findings, 'clean-settings');
  const rails = findingsOf(results.findings, 'rail').filter(
    ({ verdict }) => verdict !== 'as the supply allows' && verdict !== 'not told',
  );
  const fixed = findingsOf(results.findings, 'volume-law').filter(({ followsVolume }) => !followsVolume);
  return [
    ...(highest.length > 0
      ? highest.map((item) => firstAdvice(item, label))
      : clean.map((finding) => prefixed(finding, results, label))),
    ...railAnswers(rails, results, label),
    ...findingsOf(results.findings, 'recorder-clipping').map((finding) => prefixed(finding, results, label)),
    ...alike(fixed, ({ kind }) => kind, { results, label }),
    ...results.recommendations.flatMap((item) => gainAnswer(item, label)),
  ];
}

/** Rails of which the same is to be said, once for all their outputs. */
function railAnswers(rails: readonly FindingOf<'rail'>[], results: Results, label: TapLabel): Answer[] {
  const said = (finding: FindingOf<'rail'>) => {
    const [clips, verdict] = findingWords(finding, label).statements;
    return { sentence: say`${clips.sentence} ${verdict.sentence}`, known: verdict.known };
  };
  return grouped(rails, (finding) => plainText(said(finding).sentence)).map((group) => {
    const { sentence, known } = said(group[0]);
    return {
      sentence: say`On ${tapsOf(results, group, label)} ${afterColon(sentence)}`,
      known,
      evidenceIds: group.map(({ id }) => id),
    };
  });
}

function gainAnswer(item: Recommendation, label: TapLabel): Answer[] {
  if (item.kind !== 'converter-level' && item.kind !== 'amplifier-gain') return [];
  const { step } = recommendationWords(item, label);
  if (step === null) return [];
  return [
    { sentence: say`${step.where}: ${step.setTo}`, known: step.known, evidenceIds: [item.id], dialIn: true },
  ];
}
