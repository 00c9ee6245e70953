import type { FindingOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { reasonText } from '../../words/reason-text.ts';
import { formatDrive, formatSetting, plainDb, plainDbFs, plainHz } from '../format.ts';
import { say, volts } from '../sentence.ts';
import {
  asClause,
  type FindingWords,
  type Statement,
  settingsByReason,
  settingsText,
  told,
  untold,
  untoldAnswer,
} from './statement.ts';

type Clipping = FindingOf<'clipping'>;
type Rail = FindingOf<'rail'>;

export function volumeLawWords(finding: FindingOf<'volume-law'>): FindingWords {
  const { followsVolume, dbPerStep, levels } = finding;
  const top = levels[levels.length - 1];
  const step = dbPerStep === null ? '' : `, by ${plainDb(dbPerStep)} a step`;
  const follows = followsVolume
    ? told(say`The level follows the volume control${step}.`)
    : told(
        say`The level does not follow the volume control: a fixed-level tap. It can feed an amplifier only with a level control added, and chimes keep their own level.`,
      );
  if (top === undefined) return { subject: 'Volume law', statements: [follows] };
  const at = `setting ${formatSetting(top.setting)}`;
  const level = isNotMeasurable(top.voltsRms)
    ? [
        told(say`A full-scale tone would be ${plainDbFs(top.levelDbFs)} in the recording at ${at}.`),
        untoldAnswer(`The volts at ${at}`, top.voltsRms),
      ]
    : [
        told(
          say`A full-scale tone would be ${volts(top.voltsRms.value, top.voltsRms.plusMinus)} at ${at}, if nothing clipped.`,
        ),
      ];
  return { subject: 'Volume law', statements: [follows, ...level] };
}

export function clippingWords(finding: Clipping): FindingWords {
  return {
    subject: `Clipping at ${plainHz(finding.toneHz)}`,
    statements: [
      cleanStatement(finding),
      ...computedStatement(finding),
      placeStatement(finding),
      ...recorderDoubt(finding),
      ...onsetRows(finding),
      ...noOnsetRows(finding),
    ],
  };
}

export function recorderClippingWords(finding: FindingOf<'recorder-clipping'>): FindingWords {
  return {
    subject: 'Recorder clipping',
    statements: [
      told(
        say`The recorder itself clipped at ${settingsText(finding.settings)}: this is not the radio. Those takes do not count for distortion; record them again with a larger pad or less recorder gain.`,
      ),
    ],
  };
}

export function railWords(finding: Rail): FindingWords {
  const [low, high] = finding.expectedVoltsPeak;
  const measured = finding.clipVoltsPeak;
  return {
    subject: 'Rail against the supply',
    statements: [
      told(
        say`It clips at ${volts(measured.value, measured.plusMinus)} peak; the supply allows ${volts(low)} to ${volts(high)} peak.`,
      ),
      railVerdict(finding),
      ...(finding.question === null ? [] : [told(say`${reasonText(finding.question)}`)]),
    ],
  };
}

function cleanStatement(finding: Clipping): Statement {
  const { highestCleanRecorded, firstClippingRecorded, mostBoostedHz } = finding;
  const at = `at ${plainHz(mostBoostedHz)}, where this tap is boosted most`;
  if (highestCleanRecorded === null && firstClippingRecorded === null) {
    return untold({
      what: 'How far the volume may go',
      reason: 'no setting shows distortion that can be judged',
    });
  }
  const unknown = finding.perSetting
    .map(({ setting }) => setting)
    .filter((one) => one > (highestCleanRecorded ?? one));
  if (firstClippingRecorded === null && unknown.length > 0) {
    return told(
      say`Clean up to setting ${formatSetting(highestCleanRecorded ?? 0)} for a full-scale tone ${at}; of ${settingsText(unknown)} it cannot be told.`,
    );
  }
  if (firstClippingRecorded === null) {
    return told(
      say`Clean up to setting ${formatSetting(highestCleanRecorded ?? 0)}, the highest recorded, for a full-scale tone ${at}.`,
    );
  }
  if (highestCleanRecorded === null) {
    return told(
      say`Already at setting ${formatSetting(firstClippingRecorded)}, the lowest recorded that shows it, a full-scale tone clips ${at}. Record lower settings.`,
    );
  }
  return told(
    say`Clean at setting ${formatSetting(highestCleanRecorded)}, clipped at ${formatSetting(firstClippingRecorded)}, for a full-scale tone ${at}.`,
  );
}

function computedStatement({ highestCleanComputed, highestCleanRecorded }: Clipping): Statement[] {
  if (highestCleanComputed === null || highestCleanComputed === highestCleanRecorded) return [];
  return [
    told(
      say`Worked out between the recorded settings, ${formatSetting(highestCleanComputed)} is the highest clean one.`,
    ),
  ];
}

/** One pad says nothing: the rail and the recorder's input both hold every tap and setting at one level of the recording. */
function recorderDoubt({ mayBeRecorder }: Clipping): Statement[] {
  if (mayBeRecorder !== true) return [];
  return [
    untold({
      what: 'Whether the radio clips or the recorder’s own input',
      reason:
        'it happens just below the recorder’s full scale, at the same level of the recording at every tap that clips',
      recordNext:
        'the setting that clips once more with a larger pad, as a session of its own: a clip of the radio stays at its volts, one of the recorder at its level in the recording',
    }),
  ];
}

function placeStatement({ place, toneHz, highestHarmonic }: Clipping): Statement {
  const limit = `Harmonics 2 to ${highestHarmonic} were counted.`;
  switch (place) {
    case 'before the volume control':
      return told(
        say`It clips before the volume control, at the same drive at every setting: turn bass or EQ down in the radio, not the volume. ${limit}`,
      );
    case 'after the volume control':
      return told(
        say`It clips after the volume control, at the same voltage: the power stage reaches its rail. ${limit}`,
      );
    case 'cannot be told':
      return untold({
        what: 'Whether it clips before or after the volume control',
        reason: 'that needs two settings in which it clips',
      });
    case 'none seen':
      return told(say`At ${plainHz(toneHz)} no clipping was seen at any recorded setting. ${limit}`);
  }
}

function onsetRows(finding: Clipping): Statement[] {
  return finding.perSetting.flatMap(({ setting, driveDbFs, voltsRms }) => {
    if (isNotMeasurable(driveDbFs)) return [];
    const level = isNotMeasurable(voltsRms) ? say`` : say`, at ${volts(voltsRms.value, voltsRms.plusMinus)}`;
    return [
      told(
        say`Setting ${formatSetting(setting)}: 1 % distortion at ${plainHz(finding.toneHz)} is reached at a drive of ${formatDrive(driveDbFs)}${level}.`,
      ),
    ];
  });
}

/** Mostly the clean settings; told, because "not reached" is an answer. */
function noOnsetRows({ perSetting }: Clipping): Statement[] {
  const rows = perSetting.map(({ setting, driveDbFs }) => ({ setting, answer: driveDbFs }));
  return settingsByReason(rows).map(({ settings, reason }) =>
    told(say`No drive for 1 % at ${settings}: ${asClause(reason)}.`),
  );
}

function railVerdict({ verdict }: Rail): Statement {
  switch (verdict) {
    case 'as the supply allows':
      return told(say`That is what a bridged power stage gives on this supply.`);
    case 'half of it':
      return told(
        say`That is half of it: was one leg measured instead of the pair? Settle this before trusting any volts in this report.`,
      );
    case 'far below':
      return told(
        say`That is far below it: a limiter or the processor holds it, or the pad was entered wrongly.`,
      );
    case 'above the supply':
      return told(
        say`That is above it: a boosted supply inside, or the pad was entered wrongly by a factor of two.`,
      );
    case 'not told':
      return untold({
        what: 'Whether this agrees with the supply',
        reason: 'no supply volts were noted for these takes',
      });
  }
}
