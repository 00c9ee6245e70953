import { isNotMeasurable } from '../../model/measured.ts';
import type { RecommendationOf, Target } from '../../model/recommendation.ts';
import { fixed, formatDb, formatSetting, plainDb, plainHz, significant } from '../format.ts';
import { joined, type Sentence, say, volts } from '../sentence.ts';
import type { RecommendationWords } from './recommendation-words.ts';
import {
  asClause,
  capitalised,
  measuredOr,
  type Statement,
  settingsText,
  type TapLabel,
  told,
  untold,
  untoldAnswer,
} from './statement.ts';
import { readingSentence, targetTable } from './target-table.ts';

type HighestClean = RecommendationOf<'highest-clean-setting'>;

export function highestCleanWords(item: HighestClean, tapLabel: TapLabel): RecommendationWords {
  const title = 'How far the volume may go';
  if (item.recorded === null) {
    return {
      title,
      statements: [untold({ what: 'The highest clean setting', reason: item.basis })],
      step: {
        where: 'Radio volume',
        setTo: say`Not known yet.`,
        check: say`${capitalised(asClause(item.basis))}.`,
        told: false,
      },
    };
  }
  const setting = formatSetting(item.recorded);
  const limit =
    item.limitingTapId === null || item.firstClippingRecorded === null
      ? ''
      : ` ${capitalised(tapLabel(item.limitingTapId))} is the first to clip`;
  const untoldSettings = item.untold?.settings ?? [];
  const first = [
    ...(untoldSettings.length > 0 ? [`of ${settingsText(untoldSettings)} it cannot be told`] : []),
    ...(item.firstClippingRecorded === null
      ? []
      : [`setting ${formatSetting(item.firstClippingRecorded)} clips`]),
  ];
  return {
    title,
    statements: [
      told(
        say`The highest clean setting is ${setting}; ${first.length === 0 ? 'none was seen to clip' : first.join(', and ')}.${limit === '' ? '' : `${limit}.`}`,
      ),
      ...(item.computed === null || item.computed === item.recorded
        ? []
        : [
            told(
              say`Worked out between the recorded settings it is ${formatSetting(item.computed)}; record it to be sure.`,
            ),
          ]),
      measuredOr({
        what: 'The volts there',
        answer: item.voltsRms,
        sentence: ({ value, plusMinus }) =>
          say`A full-scale tone${item.atHz === null ? '' : ` at ${plainHz(item.atHz)}`} is ${volts(value, plusMinus)} there.`,
      }),
      ...(item.basis === '' ? [] : [told(say`${capitalised(asClause(item.basis))}.`)]),
    ],
    step: {
      where: 'Radio volume',
      setTo: say`${setting} for setting gains; tell the customer not to go higher.`,
      check: isNotMeasurable(item.midBandVoltsRms)
        ? say`No clipping on the highest setting used.`
        : say`A full-scale 1 kHz tone is ${volts(item.midBandVoltsRms.value, item.midBandVoltsRms.plusMinus)} at the tap.`,
      told: true,
    },
  };
}

export function converterLevelWords(item: RecommendationOf<'converter-level'>): RecommendationWords {
  const assumed = item.limitAssumed ? ' (assumed: none was given)' : '';
  return {
    title: `Converter level: ${item.output}`,
    statements: [
      measuredOr({
        what: 'Its gain',
        answer: item.gainDb,
        sentence: (gain) => say`Gain from the strongest tap to the converter's output: ${formatDb(gain)}.`,
      }),
      told(
        say`Set for ${volts(item.outputVoltsRms)} at most; the output's limit is ${volts(item.outputLimitVoltsRms)}${assumed}.`,
      ),
      ...(item.worstHz === null
        ? []
        : [told(say`The frequency that needs most is ${plainHz(item.worstHz)}.`)]),
    ],
    table: targetTable(item.targets),
    step: stepFromTargets({ where: `Converter level: ${item.output}`, ...item }),
  };
}

export function amplifierGainWords(item: RecommendationOf<'amplifier-gain'>): RecommendationWords {
  const reach = item.inRange ? '' : ' The knob of this amplifier does not reach it.';
  return {
    title: `Amplifier gain: ${item.output} (${item.amplifier})`,
    statements: [
      told(
        say`${significant(item.wattsAtLoad, 3)} W into ${significant(item.loadOhms, 2)} Ω is ${volts(item.fullOutputVoltsRms)}; the knob belongs where ${volts(item.sensitivityVoltsRms)} gives that (gain overlap ${plainDb(item.gainOverlapDb)}).${reach}`,
      ),
    ],
    table: targetTable(item.targets),
    step: stepFromTargets({ where: `Amplifier gain: ${item.output}`, ...item }),
  };
}

export function gainStructureWords(item: RecommendationOf<'gain-structure'>): RecommendationWords {
  const first =
    item.clipsFirst === 'not told'
      ? untold({ what: 'Which stage clips first', reason: 'not every limit in the chain is known' })
      : told(say`As the volume rises, the first to clip is the ${item.clipsFirst}.`);
  const nodes = item.nodes.map(({ node, voltsRms, limitVoltsRms, headroomDb }) => {
    if (isNotMeasurable(voltsRms)) return untoldAnswer(`The volts at the ${node}`, voltsRms);
    const limit = limitVoltsRms === null ? say`` : say`, limit ${volts(limitVoltsRms)}`;
    const headroom = headroomDb === null ? '' : `, headroom ${plainDb(headroomDb)}`;
    return told(say`${capitalised(node)}: ${volts(voltsRms.value, voltsRms.plusMinus)}${limit}${headroom}.`);
  });
  return {
    title: `The chain to the ${item.output}`,
    statements: [
      first,
      told(
        say`Figures for a full-scale tone at ${plainHz(item.worstHz)}, setting ${formatSetting(item.setting)}.`,
      ),
      ...nodes,
      ...(item.spreadDb === null
        ? []
        : [told(say`The stages reach their limits within ${plainDb(item.spreadDb)} of each other.`)]),
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
    told: known,
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
    told(
      say`Noise at the speaker: ${volts(noise.atSpeakerVolts)}, ${plainDb(noise.belowFullOutputDb)} below full output (${shares}).`,
    ),
  ];
}
