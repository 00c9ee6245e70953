import { type FindingOf, findingsOf } from '../../model/finding.ts';
import { codeOf } from '../../model/reason.ts';
import { recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { formatSetting } from '../format.ts';
import { type Sentence, say } from '../sentence.ts';
import { carriesNoBass, largestChange, lossAtTop } from '../wording/bass-words.ts';
import { asClause, capitalised, type TapLabel } from '../wording/statement.ts';
import { type Answer, alike, answer, firstAdvice, grouped, tapsOf, unclearAnswer } from './answer.ts';

/** Is the bass cut, and from which setting? */
export function bassAnswers(results: Results, label: TapLabel): Answer[] {
  const changes = findingsOf(results.findings, 'bass-change');
  const falls = grouped(
    changes.filter(({ verdict }) => verdict === 'falls with volume'),
    ({ onset }) => JSON.stringify(onset === null ? null : [onset.lastIntact, onset.firstChanged]),
  );
  const steady = changes.filter(({ verdict }) => verdict === 'steady');
  const without = changes.filter(carriesNoBass);
  const unclear = grouped(
    changes.filter((one) => one.verdict === 'cannot be told' && !carriesNoBass(one)),
    ({ reason }) => JSON.stringify(reason),
  );
  const limiters = findingsOf(results.findings, 'bass-limiter');
  const isHeld = steady.some((one) => limiters.some(({ tapIds }) => tapIds.includes(one.tapIds[0])));
  const whole = falls.length > 0 ? 'On' : isHeld ? 'Only where it plays loud: on' : 'No: on';
  const none = results.chain?.because.find((reason) => codeOf(reason) === 'no bass at any output');
  if (none !== undefined) return [answer(say`${capitalised(asClause(none))}.`, changes)];
  return [
    ...falls.map((group) => answer(fallSentence(results, group, label), group)),
    ...(steady.length === 0
      ? []
      : [
          answer(
            say`${whole} ${tapsOf(results, steady, label)} ${isHeld ? 'quiet bass' : 'the bass'} stays as you turn it up.`,
            steady,
          ),
        ]),
    ...(without.length === 0
      ? []
      : [
          answer(
            say`${capitalised(tapsOf(results, without, label))} ${without.length === 1 ? 'carries' : 'carry'} no bass.`,
            without,
          ),
        ]),
    ...alike(mostLiftedFirst(findingsOf(results.findings, 'loudness-contour')), liftKey, { results, label }),
    ...alike(limiters, ({ kind }) => kind, { results, label }),
    ...unclear.map((group) => unclearAnswer('whether the radio cuts the bass', results, group, label)),
    ...recommendationsOf(results.recommendations, 'restoration').map((item) => firstAdvice(item, label)),
  ];
}

/** How far up and where the bass is lifted: 'up to' the figure of the output that is lifted most, which comes first. */
function liftKey({ upToSetting, changes }: FindingOf<'loudness-contour'>): string {
  return JSON.stringify([upToSetting, largestChange(changes)?.frequencyHz]);
}

function mostLiftedFirst(
  contours: readonly FindingOf<'loudness-contour'>[],
): FindingOf<'loudness-contour'>[] {
  const liftDb = ({ changes }: FindingOf<'loudness-contour'>) => largestChange(changes)?.change.value ?? 0;
  return [...contours].sort((one, other) => liftDb(other) - liftDb(one));
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
      ? say`Yes: on ${taps} the radio cuts bass as you turn it up.`
      : say`Yes: on ${taps} the radio starts cutting bass at about ${formatSetting(onset.midpoint)}, between ${formatSetting(onset.lastIntact)} and ${formatSetting(onset.firstChanged)}.`;
  const sizes = group.map((one) => Math.abs(largestChange(one.changes)?.change.value ?? 0));
  const worst = group[sizes.indexOf(Math.max(...sizes))];
  const top = lossAtTop(worst, VERDICT_FREQUENCIES_HZ);
  if (top === null) return from;
  const whose = group.length === 1 ? '' : `, on ${label(worst.tapIds[0])}`;
  const differ = Math.max(...sizes) - Math.min(...sizes) > ALIKE_DB;
  return say`${from} By ${formatSetting(top.setting)} it takes ${differ ? 'up to ' : ''}${top.losses}${whose}.`;
}

/** Losses within the width of a plateau are one (the definition of the reference for bass loss). */
const ALIKE_DB = 0.5;
