import { findingsOf } from '../../model/finding.ts';
import { type RecommendationOf, recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { listed } from '../../words/figures.ts';
import { plainHz } from '../format.ts';
import { say } from '../sentence.ts';
import { bandSpan, recorderDoubt } from '../wording/band-words.ts';
import { feedName, feedTapText } from '../wording/feed-words.ts';
import { asClause, capitalised, type TapLabel } from '../wording/statement.ts';
import { type Answer, answer, firstWords, grouped, tapsOf, unclearAnswer } from './answer.ts';

/** Which outputs are band-limited, and what is to be summed? */
export function bandAnswers(results: Results, label: TapLabel): Answer[] {
  return [
    ...rangeAnswers(results, label),
    ...crossoverAnswers(results, label),
    ...polarityAnswers(results, label),
    ...surroundAnswers(results, label),
    ...phaseAnswers(results, label),
    ...misroutedAnswers(results, label),
    ...findingsOf(results.findings, 'common-ceiling').map((finding) => firstWords(finding, label)),
    ...unclearAnswers(results, label),
    ...feedAnswers(results, label),
  ];
}

function rangeAnswers(results: Results, label: TapLabel): Answer[] {
  const bands = findingsOf(results.findings, 'band');
  const full = bands.filter(({ verdict }) => verdict === 'full range');
  const limited = bands.filter(({ verdict }) => verdict === 'band-limited');
  const doubted = limited.filter(({ lowEdgeMayBeRecorder }) => lowEdgeMayBeRecorder === true);
  const spans = grouped(limited, bandSpan).map(
    (group) => `${tapsOf(results, group, label)} ${bandSpan(group[0])}`,
  );
  return [
    ...(full.length === 0 ? [] : [answer(say`Full range: ${tapsOf(results, full, label)}.`, full)]),
    ...(limited.length === 0 ? [] : [answer(say`Band-limited: ${spans.join('; ')}.`, limited)]),
    ...(doubted.length === 0 ? [] : [{ ...recorderDoubt(), evidenceIds: doubted.map(({ id }) => id) }]),
  ];
}

function crossoverAnswers(results: Results, label: TapLabel): Answer[] {
  const crossovers = findingsOf(results.findings, 'crossover');
  if (crossovers.length === 0) return [];
  const meetings = grouped(crossovers, ({ frequencyHz }) => plainHz(frequencyHz.value)).map((group) => {
    const pairs = group.map(({ lowTapId, highTapId }) => `${label(lowTapId)} with ${label(highTapId)}`);
    return `${listed(pairs)} at ${plainHz(group[0].frequencyHz.value)}`;
  });
  return [answer(say`Bands meet: ${meetings.join('; ')}.`, crossovers)];
}

function polarityAnswers(results: Results, label: TapLabel): Answer[] {
  const surroundIds = surroundOf(results).flatMap(({ tapIds }) => tapIds);
  const turned = findingsOf(results.findings, 'timing').filter(
    ({ polarity, tapId }) => polarity === 'inverted' && !surroundIds.includes(tapId),
  );
  const turnedTapIds = turned.map(({ tapId }) => tapId);
  const meant = turned.filter(({ tapId }) => isMeant(results, tapId, turnedTapIds));
  const swapped = turned.filter((one) => !meant.includes(one));
  const names = (taps: typeof turned) => listed(taps.map(({ tapId }) => label(tapId)));
  return [
    ...(swapped.length === 0 ? [] : [answer(say`Plus and minus swapped: ${names(swapped)}.`, swapped)]),
    ...(meant.length === 0
      ? []
      : [
          answer(
            say`${capitalised(names(meant))}: inverted against the output that completes the band, as the crossover wants it. Leave the wires.`,
            meant,
          ),
        ]),
  ];
}

function surroundOf({ findings }: Results) {
  return findingsOf(findings, 'routing').filter(({ carries }) => carries === 'difference');
}

function surroundAnswers(results: Results, label: TapLabel): Answer[] {
  const surround = surroundOf(results);
  if (surround.length === 0) return [];
  return [
    answer(
      say`${capitalised(tapsOf(results, surround, label))}: left less right, as a surround channel plays it. Leave that with the radio.`,
      surround,
    ),
  ];
}

function misroutedAnswers(results: Results, label: TapLabel): Answer[] {
  return findingsOf(results.findings, 'routing')
    .filter(
      ({ agreesWithSession, carries }) =>
        !agreesWithSession && carries !== 'nothing' && carries !== 'difference',
    )
    .map((finding) =>
      answer(
        say`${capitalised(tapsOf(results, [finding], label))}: it plays another side than the session says. Check for swapped channels.`,
        [finding],
      ),
    );
}

function unclearAnswers(results: Results, label: TapLabel): Answer[] {
  const unclear = findingsOf(results.findings, 'band').filter(({ verdict }) => verdict === 'cannot be told');
  return grouped(unclear, ({ reason }) => JSON.stringify(reason)).map((group) =>
    unclearAnswer('what band comes out', results, group, label),
  );
}

/** Whether a sum takes an inverted output as it is beside one that is not: the radio's crossover is made for it. */
function isMeant({ recommendations }: Results, tapId: string, invertedTapIds: readonly string[]): boolean {
  return recommendationsOf(recommendations, 'feed').some(({ summed, taps }) => {
    const asWired = taps.filter(({ polarity }) => polarity === 'as wired').map((tap) => tap.tapId);
    return summed && asWired.includes(tapId) && asWired.some((other) => !invertedTapIds.includes(other));
  });
}

function feedAnswers(results: Results, label: TapLabel): Answer[] {
  const feeds = recommendationsOf(results.recommendations, 'feed');
  const summed = feeds.filter((feed) => feed.summed);
  const joined = feeds
    .filter((feed) => !feed.summed && feed.taps.length > 1)
    .map((feed) => answer(say`Feed the ${feedName(feed)} from ${tapNames(feed, label)}.`, [feed]));
  if (feeds.length > 0 && summed.length === 0) {
    const limited = new Set(
      findingsOf(results.findings, 'band')
        .filter(({ verdict }) => verdict !== 'full range')
        .flatMap(({ tapIds }) => tapIds),
    );
    const whole = feeds.every(({ taps }) => taps.every(({ tapId }) => !limited.has(tapId)));
    const nothing = say`Sum nothing${whole ? ': each feed has a full-range output' : ''}.`;
    return [answer(nothing, feeds), ...joined];
  }
  return [...summed.map((feed) => sumAnswer(feed, label)), ...joined];
}

function sumAnswer(feed: RecommendationOf<'feed'>, label: TapLabel): Answer {
  const taps = tapNames(feed, label);
  if (feed.unknownTiming === null) return answer(say`Sum for the ${feedName(feed)}: ${taps}.`, [feed]);
  return {
    sentence: say`Sum for the ${feedName(feed)}: ${taps}; how they add is not known yet. Record ${asClause(feed.unknownTiming.recordNext)}.`,
    known: false,
    evidenceIds: [feed.id],
  };
}

function tapNames({ taps }: RecommendationOf<'feed'>, label: TapLabel): string {
  return listed(taps.map((tap) => feedTapText(tap, label)));
}

/** Outputs whose phase nothing explains: beside the same output of the other side that is heard. */
function phaseAnswers(results: Results, label: TapLabel): Answer[] {
  const unexplained = findingsOf(results.findings, 'timing').flatMap((finding) =>
    finding.reason !== null &&
    typeof finding.reason !== 'string' &&
    finding.reason.code === 'phase follows no filter and delay'
      ? [{ finding, tapIds: [finding.reason.tapId] }]
      : [],
  );
  if (unexplained.length === 0) return [];
  return [
    answer(
      say`${capitalised(tapsOf(results, unexplained, label))}: no filter and no delay explain its phase. If it is an all-pass, left and right together may sound thin.`,
      unexplained.map(({ finding }) => finding),
    ),
  ];
}
