import { type FindingOf, findingsOf } from '../model/finding.ts';
import { type Recommendation, recommendationsOf } from '../model/recommendation.ts';
import type { Results } from '../model/results.ts';
import { formatSetting, listed, plainHz } from './format.ts';
import { plainText, type Sentence, say } from './sentence.ts';
import { bandSpan } from './wording/band-words.ts';
import { lossAtTop } from './wording/bass-words.ts';
import { feedName, feedTapText } from './wording/feed-words.ts';
import { recommendationWords } from './wording/recommendation-words.ts';
import { asClause, capitalised, type Statement, type TapLabel } from './wording/statement.ts';
import { findingWords } from './wording.ts';

/** One of the installer's questions, with its answers. */
export interface Verdict {
  readonly question: string;
  readonly answers: readonly Answer[];
}

export interface Answer extends Statement {
  /** Findings and recommendations behind it. */
  readonly evidenceIds: readonly string[];
}

/** The installer's three questions, answered; a fourth where something has to be recorded or cannot be done. */
export function verdicts(results: Results): Verdict[] {
  const label = tapLabelOf(results);
  const open = openAnswers(results, label);
  return [
    { question: 'Does the radio cut the bass?', answers: orNothing(bassAnswers(results, label)) },
    {
      question: 'Which outputs carry what, and what is to be summed?',
      answers: orNothing(bandAnswers(results, label)),
    },
    {
      question: 'How far may the volume go, and what are the gains?',
      answers: orNothing(levelAnswers(results, label)),
    },
    ...(open.length === 0 ? [] : [{ question: 'What stands in the way?', answers: open }]),
  ];
}

/** The same for a terminal, one line an answer. */
export function summaryLines(results: Results): string[] {
  return verdicts(results).flatMap(({ question, answers }) => [
    question,
    ...answers.map(({ sentence }) => `  ${plainText(sentence)}`),
  ]);
}

export function tapLabelOf(results: Results): TapLabel {
  const labels = new Map(results.session.taps.map(({ id, label }) => [id, label === '' ? id : label]));
  return (tapId) => labels.get(tapId) ?? tapId;
}

function bassAnswers(results: Results, label: TapLabel): Answer[] {
  const changes = findingsOf(results.findings, 'bass-change');
  const falls = grouped(
    changes.filter(({ verdict }) => verdict === 'falls with volume'),
    ({ onset }) => JSON.stringify(onset === null ? null : [onset.lastIntact, onset.firstChanged]),
  );
  const steady = changes.filter(({ verdict }) => verdict === 'steady');
  const unclear = grouped(
    changes.filter(({ verdict }) => verdict === 'cannot be told'),
    ({ reason }) => String(reason),
  );
  return [
    ...falls.map((group) => answer(fallSentence(results, group, label), group)),
    ...(steady.length === 0
      ? []
      : [answer(say`No bass is lost with the volume on ${tapsOf(results, steady, label)}.`, steady)]),
    ...alike(findingsOf(results.findings, 'loudness-contour'), results, label),
    ...alike(findingsOf(results.findings, 'bass-limiter'), results, label),
    ...unclear.map((group) => unclearAnswer('whether the bass falls', results, group, label)),
    ...recommendationsOf(results.recommendations, 'restoration').map((item) => firstAdvice(item, label)),
  ];
}

/** Deep bass and where a door speaker begins: enough for a verdict. */
const VERDICT_FREQUENCIES_HZ = [40, 80];

function fallSentence(
  results: Results,
  group: readonly FindingOf<'bass-change'>[],
  label: TapLabel,
): Sentence {
  const taps = tapsOf(results, group, label);
  const [{ onset }] = group;
  const from =
    onset === null
      ? say`Yes: on ${taps} bass goes as the volume rises.`
      : say`Yes: on ${taps} bass goes from about setting ${formatSetting(onset.midpoint)} up (it begins between ${formatSetting(onset.lastIntact)} and ${formatSetting(onset.firstChanged)}).`;
  const top = lossAtTop(group[0], VERDICT_FREQUENCIES_HZ);
  if (top === null) return from;
  const whose = group.length === 1 ? '' : `, on ${label(group[0].tapIds[0])}`;
  return say`${from} At ${formatSetting(top.setting)} it has lost ${top.losses}${whose}.`;
}

function bandAnswers(results: Results, label: TapLabel): Answer[] {
  const bands = findingsOf(results.findings, 'band');
  const full = bands.filter(({ verdict }) => verdict === 'full range');
  const limited = bands.filter(({ verdict }) => verdict === 'band-limited');
  const unclear = grouped(
    bands.filter(({ verdict }) => verdict === 'cannot be told'),
    ({ reason }) => String(reason),
  );
  const spans = grouped(limited, bandSpan).map(
    (group) => `${tapsOf(results, group, label)} ${bandSpan(group[0])}`,
  );
  const crossovers = findingsOf(results.findings, 'crossover');
  const meetings = grouped(crossovers, ({ frequencyHz }) => plainHz(frequencyHz.value)).map((group) => {
    const pairs = group.map(({ lowTapId, highTapId }) => `${label(lowTapId)} with ${label(highTapId)}`);
    return `${listed(pairs)} at ${plainHz(group[0].frequencyHz.value)}`;
  });
  const inverted = findingsOf(results.findings, 'timing').filter(({ polarity }) => polarity === 'inverted');
  const misrouted = findingsOf(results.findings, 'routing').filter(
    ({ agreesWithSession }) => !agreesWithSession,
  );
  return [
    ...(full.length === 0 ? [] : [answer(say`Full range: ${tapsOf(results, full, label)}.`, full)]),
    ...(limited.length === 0 ? [] : [answer(say`Band-limited: ${spans.join('; ')}.`, limited)]),
    ...(crossovers.length === 0 ? [] : [answer(say`They meet: ${meetings.join('; ')}.`, crossovers)]),
    ...(inverted.length === 0
      ? []
      : [answer(say`Inverted: ${listed(inverted.map(({ tapId }) => label(tapId)))}.`, inverted)]),
    ...misrouted.map((finding) =>
      answer(
        say`${capitalised(tapsOf(results, [finding], label))}: what it carries is not what the session says. Check for swapped channels.`,
        [finding],
      ),
    ),
    ...findingsOf(results.findings, 'common-ceiling').map((finding) => firstWords(finding, label)),
    ...unclear.map((group) => unclearAnswer('what band it carries', results, group, label)),
    ...feedAnswers(results, label),
  ];
}

function feedAnswers(results: Results, label: TapLabel): Answer[] {
  const feeds = recommendationsOf(results.recommendations, 'feed');
  const summed = feeds.filter((feed) => feed.summed);
  if (feeds.length > 0 && summed.length === 0) {
    return [answer(say`Nothing is to be summed: each feed has a tap that carries it alone.`, feeds)];
  }
  return summed.map((feed) => {
    const taps = listed(feed.taps.map((tap) => feedTapText(tap, label)));
    if (feed.unknownTiming === null) return answer(say`Sum for the ${feedName(feed)}: ${taps}.`, [feed]);
    return {
      sentence: say`Sum for the ${feedName(feed)}: ${taps}; how they add cannot be told yet. Record ${asClause(feed.unknownTiming.recordNext)}.`,
      told: false,
      evidenceIds: [feed.id],
    };
  });
}

function levelAnswers(results: Results, label: TapLabel): Answer[] {
  const highest = recommendationsOf(results.recommendations, 'highest-clean-setting');
  const clipping = findingsOf(results.findings, 'clipping');
  const rails = findingsOf(results.findings, 'rail').filter(
    ({ verdict }) => verdict !== 'as the supply allows' && verdict !== 'not told',
  );
  const fixed = findingsOf(results.findings, 'volume-law').filter(({ followsVolume }) => !followsVolume);
  return [
    ...(highest.length > 0
      ? highest.map((item) => firstAdvice(item, label))
      : clipping.map((finding) => prefixed(finding, results, label))),
    ...rails.map((finding) => {
      const [clips, verdict] = findingWords(finding, label).statements;
      return {
        sentence: say`${clips.sentence} ${verdict.sentence}`,
        told: verdict.told,
        evidenceIds: [finding.id],
      };
    }),
    ...findingsOf(results.findings, 'recorder-clipping').map((finding) => prefixed(finding, results, label)),
    ...fixed.map((finding) => prefixed(finding, results, label)),
    ...results.recommendations.flatMap((item) => gainAnswer(item, label)),
  ];
}

function gainAnswer(item: Recommendation, label: TapLabel): Answer[] {
  if (item.kind !== 'converter-level' && item.kind !== 'amplifier-gain') return [];
  const { step } = recommendationWords(item, label);
  if (step === null) return [];
  return [{ sentence: say`${step.where}: ${step.setTo}`, told: step.told, evidenceIds: [item.id] }];
}

function openAnswers(results: Results, label: TapLabel): Answer[] {
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

/** Findings whose first sentence is the same are said once, for all their taps. */
function alike(findings: Results['findings'], results: Results, label: TapLabel): Answer[] {
  return grouped(findings, (finding) => plainText(firstWords(finding, label).sentence)).map((group) => {
    const { sentence, told } = firstWords(group[0], label);
    const taps = capitalised(tapsOf(results, group, label));
    return { sentence: say`${taps}: ${afterColon(sentence)}`, told, evidenceIds: group.map(({ id }) => id) };
  });
}

function prefixed(finding: Results['findings'][number], results: Results, label: TapLabel): Answer {
  const first = firstWords(finding, label);
  return {
    ...first,
    sentence: say`${capitalised(tapsOf(results, [finding], label))}: ${afterColon(first.sentence)}`,
  };
}

function afterColon([first, ...rest]: Sentence): Sentence {
  return typeof first === 'string'
    ? [first.charAt(0).toLowerCase() + first.slice(1), ...rest]
    : [first, ...rest];
}

function firstWords(finding: Results['findings'][number], label: TapLabel): Answer {
  return { ...findingWords(finding, label).statements[0], evidenceIds: [finding.id] };
}

function firstAdvice(item: Recommendation, label: TapLabel): Answer {
  return { ...recommendationWords(item, label).statements[0], evidenceIds: [item.id] };
}

function unclearAnswer(
  what: string,
  results: Results,
  group: readonly { id: string; tapIds: readonly string[]; reason: string | null }[],
  label: TapLabel,
): Answer {
  const reason = asClause(group[0].reason ?? 'the recordings do not show it');
  return {
    sentence: say`On ${tapsOf(results, group, label)} it cannot be told ${what}, because ${reason}.`,
    told: false,
    evidenceIds: group.map(({ id }) => id),
  };
}

function answer(sentence: Sentence, behind: readonly { id: string }[]): Answer {
  return { sentence, told: true, evidenceIds: behind.map(({ id }) => id) };
}

function orNothing(answers: readonly Answer[]): readonly Answer[] {
  if (answers.length > 0) return answers;
  return [
    { sentence: say`Cannot be told: nothing in the recordings answers it.`, told: false, evidenceIds: [] },
  ];
}

/** Names of the taps of some findings; "every tap" where it is more than two and all of them. */
function tapsOf(results: Results, group: readonly { tapIds: readonly string[] }[], label: TapLabel): string {
  const ids = [...new Set(group.flatMap(({ tapIds }) => tapIds))];
  if (ids.length > 2 && ids.length === results.session.taps.length) return 'every tap';
  return listed(ids.map(label));
}

function grouped<Item>(items: readonly Item[], key: (item: Item) => string): Item[][] {
  const groups = new Map<string, Item[]>();
  for (const item of items) groups.set(key(item), [...(groups.get(key(item)) ?? []), item]);
  return [...groups.values()];
}
