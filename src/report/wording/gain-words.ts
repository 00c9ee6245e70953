import { isNotMeasurable } from '../../model/measured.ts';
import { codeOf, type Reason } from '../../model/reason.ts';
import type { RecommendationOf, Target } from '../../model/recommendation.ts';
import { listed, ofSettings } from '../../words/figures.ts';
import { fixed, formatDb, formatSetting, plainDb, plainHz, significant } from '../format.ts';
import { joined, type Sentence, say, volts } from '../sentence.ts';
import { louderThanTried } from './level-words.ts';
import type { RecommendationWords } from './statement.ts';
import {
  asClause,
  capitalised,
  known,
  measuredOr,
  notKnown,
  type Statement,
  type TapLabel,
  whyNotKnown,
} from './statement.ts';
import { readingSentence, targetTable } from './target-table.ts';

type HighestClean = RecommendationOf<'highest-clean-setting'>;

export function highestCleanWords(item: HighestClean, tapLabel: TapLabel): RecommendationWords {
  const title = 'How loud it may go';
  if (item.recorded === null) {
    const statement = noCleanSetting(item);
    return {
      title,
      statements: [statement],
      step: { where: 'Radio volume', setTo: say`Set no gain yet.`, check: statement.sentence, known: false },
    };
  }
  const setting = formatSetting(item.recorded);
  const limit =
    item.limitingTapId === null || item.firstClippingRecorded === null
      ? ''
      : ` ${capitalised(tapLabel(item.limitingTapId))} is the first to clip`;
  const supply = item.supplyVolts === undefined ? '' : ` and ${fixed(item.supplyVolts, 1)} V of supply`;
  const settingsNotKnown = item.notKnown?.settings ?? [];
  const first = [
    ...(settingsNotKnown.length > 0 ? [`${ofSettings(settingsNotKnown)} not known`] : []),
    ...(item.firstClippingRecorded === null
      ? []
      : [`setting ${formatSetting(item.firstClippingRecorded)} clips`]),
  ];
  return {
    title,
    statements: [
      known(
        say`Clean up to setting ${setting}; ${first.length === 0 ? 'nothing recorded clips' : first.join(', ')}.${limit === '' ? '' : `${limit}.`}${notJudgedText(item, tapLabel)}`,
      ),
      ...louderThanTried(item.asLoudAsPlayed),
      ...(item.computed === null || item.computed === item.recorded
        ? []
        : [
            known(
              say`Between the recorded settings it works out at ${formatSetting(item.computed)}. Record that one to be sure.`,
            ),
          ]),
      measuredOr({
        what: 'the volts there',
        answer: item.voltsRms,
        sentence: ({ value, plusMinus }) =>
          say`At setting ${setting} a full-scale tone${item.atHz === null ? '' : ` of ${plainHz(item.atHz)}`} is ${volts(value, plusMinus)}.`,
      }),
      known(say`${capitalised(asClause(item.basis))}.`),
    ],
    step: {
      where: 'Radio volume',
      setTo:
        item.gainsAt === undefined
          ? say`Set the gains at ${setting}. Tell the customer not to go higher.`
          : say`Set the gains at ${formatSetting(item.gainsAt)}: ${item.endedBy === undefined ? 'above it the bass is not restored in full' : asClause(item.endedBy)}. Tell the customer not to go higher.`,
      check: isNotMeasurable(item.midBandVoltsRms)
        ? say`No clipping on the highest setting used.`
        : say`At ${setting}${supply} a full-scale tone at 1 kHz (a subwoofer output: in its own band) reads ${volts(item.midBandVoltsRms.value, item.midBandVoltsRms.plusMinus)}.`,
      known: true,
    },
  };
}

/** " No take says whether rear left clips.", with a space before it; empty where all were judged. */
export function notJudgedText({ notJudged = [] }: HighestClean, tapLabel: TapLabel): string {
  if (notJudged.length === 0) return '';
  return ` No take says whether ${listed(notJudged.map(tapLabel))} ${notJudged.length === 1 ? 'clips' : 'clip'}.`;
}

function noCleanSetting({ firstClippingRecorded, basis }: HighestClean): Statement {
  if (firstClippingRecorded !== null)
    return known(
      say`No recorded setting is clean with a full-scale tone: ${formatSetting(firstClippingRecorded)} clips already.`,
    );
  const reason: Reason =
    codeOf(basis) === 'clean at the most boosted frequency' ? { code: 'no clean setting known' } : basis;
  return notKnown({ what: 'the highest clean setting', reason });
}

export function converterLevelWords(item: RecommendationOf<'converter-level'>): RecommendationWords {
  const assumed = item.limitAssumed ? ' (assumed: nobody noted it)' : '';
  return {
    title: 'Converter level',
    of: item.output,
    statements: [
      measuredOr({
        what: 'its gain',
        answer: item.gainDb,
        sentence: (gain) =>
          say`From the strongest output to the converter's own, the gain is ${formatDb(gain)}.`,
      }),
      known(
        say`It gives at most ${volts(item.outputVoltsRms)} of the ${volts(item.outputLimitVoltsRms)} that it can${assumed}.`,
      ),
      ...(item.worstHz === null ? [] : [known(say`The strongest tone is at ${plainHz(item.worstHz)}.`)]),
    ],
    table: targetTable(item.targets),
    step: stepFromTargets({ where: `Converter level: ${item.output}`, ...item }),
  };
}

export function amplifierGainWords(item: RecommendationOf<'amplifier-gain'>): RecommendationWords {
  const reach = item.inRange ? '' : ' The knob does not reach that.';
  return {
    title: 'Amplifier gain',
    of: item.output,
    statements: [
      known(
        say`${capitalised(item.amplifier)}: ${significant(item.wattsAtLoad, 3)} W into ${significant(item.loadOhms, 2)} Ω is ${volts(item.fullOutputVoltsRms)}. Turn the knob until ${volts(item.sensitivityVoltsRms)} in gives that (gain overlap ${plainDb(item.gainOverlapDb)}).${reach}`,
      ),
    ],
    table: targetTable(item.targets),
    step: stepFromTargets({ where: `Amplifier gain: ${item.output}`, ...item }),
  };
}

export function gainStructureWords(item: RecommendationOf<'gain-structure'>): RecommendationWords {
  const first =
    item.clipsFirst === 'not told'
      ? notKnown({ what: 'which stage clips first', reason: 'not every limit of the chain is known' })
      : known(say`As you turn it up, the ${item.clipsFirst} clips first.`);
  const nodes = item.nodes.map(({ node, voltsRms, limitVoltsRms, headroomDb }) => {
    if (isNotMeasurable(voltsRms)) return whyNotKnown(`the volts at the ${node}`, voltsRms);
    const limit = limitVoltsRms === null ? say`` : say`, limit ${volts(limitVoltsRms)}`;
    const headroom = headroomDb === null ? '' : `, headroom ${plainDb(headroomDb)}`;
    return known(say`${capitalised(node)}: ${volts(voltsRms.value, voltsRms.plusMinus)}${limit}${headroom}.`);
  });
  return {
    title: 'What clips first',
    of: item.output,
    statements: [
      first,
      known(
        say`All for a full-scale tone at ${plainHz(item.worstHz)}, setting ${formatSetting(item.setting)}.`,
      ),
      ...nodes,
      ...(item.spreadDb === null
        ? []
        : [known(say`The stages reach their limits within ${plainDb(item.spreadDb)}.`)]),
      ...noiseStatements(item.noise),
    ],
    step: null,
  };
}

/** "100 Hz at −5 dBFS, setting 32, restoration off: 17.8 V". */
function targetSentence(target: Target): Sentence {
  const power = target.watts === null || target.overLimit ? '' : ` (${significant(target.watts, 2)} W)`;
  return say`${toneOf(target)}: ${readingSentence(target)}${power}`;
}

/** A knob is checked by the same tone with restoration the other way, and by another tone at the same drive. */
function checksOf(setBy: Target, targets: readonly Target[]): Target[] {
  const known = targets.filter(
    (target) => target !== setBy && !target.overLimit && !isNotMeasurable(target.voltsRms),
  );
  const restored = known.find(
    ({ toneHz, driveDbFs, restoration }) =>
      toneHz === setBy.toneHz && driveDbFs === setBy.driveDbFs && restoration !== setBy.restoration,
  );
  const other = known.find(
    ({ toneHz, driveDbFs, restoration }) =>
      toneHz !== setBy.toneHz && driveDbFs === setBy.driveDbFs && restoration === setBy.restoration,
  );
  const two = [restored, other].filter((target) => target !== undefined);
  return two.length > 0 ? two : known.slice(0, 1);
}

function stepFromTargets({
  where,
  targets,
  tolerancePercent,
}: {
  where: string;
  targets: readonly Target[];
  tolerancePercent: number;
}) {
  const setBy = targets.find((target) => target.setBy) ?? targets[0];
  if (setBy === undefined) return null;
  const checks = checksOf(setBy, targets);
  const known = !isNotMeasurable(setBy.voltsRms);
  const reading = isNotMeasurable(setBy.voltsRms)
    ? say`To be measured: ${asClause(setBy.voltsRms.notMeasurable)}.`
    : say`${volts(setBy.voltsRms.value)} ± ${tolerancePercent} %, playing ${toneOf(setBy)}.`;
  return {
    where,
    setTo: reading,
    check: checks.length === 0 ? say`The same reading.` : say`${joined(checks.map(targetSentence), '; ')}.`,
    known: known,
  };
}

function toneOf({ toneHz, driveDbFs, setting, restoration }: Target): string {
  const off = restoration === 'none' ? '' : `, restoration ${restoration}`;
  return `${plainHz(toneHz)} at ${fixed(driveDbFs, 0)} dBFS, setting ${formatSetting(setting)}${off}`;
}

function noiseStatements(noise: RecommendationOf<'gain-structure'>['noise']): Statement[] {
  if (noise === null) return [];
  const shares = noise.shares.map(({ stage, share }) => `${stage} ${fixed(share * 100, 0)} %`).join(', ');
  return [
    known(
      say`The noise at the speaker is ${volts(noise.atSpeakerVolts)} (${shares}). Full output is above it by ${plainDb(noise.belowFullOutputDb)}.`,
    ),
  ];
}
