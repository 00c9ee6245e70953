import type { FindingOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { ofSettings } from '../../words/figures.ts';
import { reasonText } from '../../words/reason-text.ts';
import { fixed, formatDrive, formatSetting, plainDb, plainDbFs, plainHz } from '../format.ts';
import { say, volts } from '../sentence.ts';
import {
  asClause,
  capitalised,
  type FindingWords,
  known,
  notKnown,
  type Statement,
  settingsByReason,
  whyNotKnown,
} from './statement.ts';

type Clipping = FindingOf<'clipping'>;
type CleanSettings = FindingOf<'clean-settings'>;
type Rail = FindingOf<'rail'>;

export function volumeLawWords(finding: FindingOf<'volume-law'>): FindingWords {
  const { followsVolume, dbPerStep, levels } = finding;
  const top = levels[levels.length - 1];
  const step = dbPerStep === null ? '' : `, by ${plainDb(dbPerStep)} a step`;
  const follows = followsVolume
    ? known(say`The output follows the volume control${step}.`)
    : known(
        say`A fixed level: the output does not follow the volume control. To feed an amplifier from it, add a level control. Chimes keep their own level.`,
      );
  if (top === undefined) return { subject: 'Volume law', statements: [follows] };
  const at = `setting ${formatSetting(top.setting)}`;
  const level = isNotMeasurable(top.voltsRms)
    ? [
        known(say`At ${at} a full-scale tone is ${plainDbFs(top.levelDbFs)} in the recording.`),
        whyNotKnown(`the volts at ${at}`, top.voltsRms),
      ]
    : [
        known(
          say`If nothing clipped, a full-scale tone at ${at} would be ${volts(top.voltsRms.value, top.voltsRms.plusMinus)}.`,
        ),
      ];
  return { subject: 'Volume law', statements: [follows, ...level] };
}

export function clippingWords(finding: Clipping): FindingWords {
  return {
    subject: `Clipping at ${plainHz(finding.toneHz)}`,
    statements: [
      placeStatement(finding),
      ...recorderDoubt(finding),
      ...onsetRows(finding),
      ...noOnsetRows(finding),
    ],
  };
}

export function cleanSettingsWords(finding: CleanSettings): FindingWords {
  return {
    subject: 'Clean settings',
    statements: [
      cleanStatement(finding),
      ...louderThanTried(finding.asLoudAsPlayed),
      ...computedStatement(finding),
    ],
  };
}

export function recorderClippingWords(finding: FindingOf<'recorder-clipping'>): FindingWords {
  return {
    subject: 'Recorder clipping',
    statements: [
      known(
        say`The recorder clipped, not the radio, at ${ofSettings(finding.settings)}. Those takes say nothing about distortion. Record them again with a larger pad or less recorder gain.`,
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
      known(
        say`It clips at ${volts(measured.value, measured.plusMinus)} peak. The supply allows ${volts(low)} to ${volts(high)} peak.`,
      ),
      railVerdict(finding),
      ...(finding.question === null ? [] : [known(say`${capitalised(reasonText(finding.question))}`)]),
    ],
  };
}

/** What 'clean' was not tried with. */
export function louderThanTried(beyond: CleanSettings['asLoudAsPlayed']): Statement[] {
  return beyond === undefined
    ? []
    : [
        known(
          say`Every tone is clean at setting ${formatSetting(beyond.setting)}. A full-scale tone at ${plainHz(beyond.atHz)} would come out ${fixed(beyond.louderByDb, 1)} dB louder there than any that was played, but music holds less of it.`,
        ),
      ];
}

function cleanStatement(finding: CleanSettings): Statement {
  const { highestCleanRecorded, firstClippingRecorded, mostBoostedHz } = finding;
  const at = `at ${plainHz(mostBoostedHz)}, where the radio boosts most`;
  if (highestCleanRecorded === null) return noCleanStatement(firstClippingRecorded, at);
  const unknown = [...new Set([...finding.settings, ...(finding.notKnown?.settings ?? [])])]
    .filter((one) => one > highestCleanRecorded)
    .sort((one, other) => one - other);
  if (firstClippingRecorded === null && unknown.length > 0) {
    return known(
      say`Clean up to setting ${formatSetting(highestCleanRecorded)} with a full-scale tone ${at}. Not known: ${ofSettings(unknown)}.`,
    );
  }
  if (firstClippingRecorded === null) {
    return known(
      say`Clean up to setting ${formatSetting(highestCleanRecorded)}, the highest recorded, with a full-scale tone ${at}.`,
    );
  }
  return known(
    say`Clean at setting ${formatSetting(highestCleanRecorded)}, clipping at ${formatSetting(firstClippingRecorded)}, with a full-scale tone ${at}.`,
  );
}

function noCleanStatement(firstClippingRecorded: number | null, at: string): Statement {
  return firstClippingRecorded === null
    ? notKnown({
        what: 'how far the volume may go',
        reason: 'no take shows distortion that can be judged',
      })
    : known(
        say`A full-scale tone clips from setting ${formatSetting(firstClippingRecorded)} on, the lowest that shows it, ${at}. Record lower settings.`,
      );
}

function computedStatement({ highestCleanComputed, highestCleanRecorded }: CleanSettings): Statement[] {
  if (highestCleanComputed === null || highestCleanComputed === highestCleanRecorded) return [];
  return [
    known(
      say`Between the recorded settings, the highest clean one works out at ${formatSetting(highestCleanComputed)}.`,
    ),
  ];
}

/** One pad says nothing: the rail and the recorder's input both hold every tap and setting at one level of the recording. */
function recorderDoubt({ mayBeRecorder }: Clipping): Statement[] {
  if (mayBeRecorder !== true) return [];
  return [
    notKnown({
      what: 'whether the radio clips or the recorder',
      reason: 'every output clips at the same level, just below the recorder’s full scale',
      recordNext:
        'that setting again with a larger pad, as a session of its own. If the volts stay, the radio clips. If the level stays, the recorder does',
    }),
  ];
}

function placeStatement({ place, toneHz, highestHarmonic }: Clipping): Statement {
  const limit = `Harmonics 2 to ${highestHarmonic} were counted.`;
  switch (place) {
    case 'before the volume control':
      return known(
        say`It clips ahead of the volume control: at every setting at the same drive. Turn down bass or EQ in the radio, not the volume. ${limit}`,
      );
    case 'after the volume control':
      return known(
        say`It clips behind the volume control, at the same volts: the power stage runs out of supply. ${limit}`,
      );
    case 'cannot be told':
      return notKnown({
        what: 'whether it clips ahead of or behind the volume control',
        reason: 'that takes two settings at which it clips',
      });
    case 'none seen':
      return known(say`At ${plainHz(toneHz)} nothing clips at any recorded setting. ${limit}`);
  }
}

function onsetRows(finding: Clipping): Statement[] {
  return finding.perSetting.flatMap(({ setting, driveDbFs, voltsRms }) => {
    if (isNotMeasurable(driveDbFs)) return [];
    const level = isNotMeasurable(voltsRms) ? say`` : say`, at ${volts(voltsRms.value, voltsRms.plusMinus)}`;
    return [
      known(
        say`Setting ${formatSetting(setting)}: ${plainHz(finding.toneHz)} reaches 1 % distortion at ${formatDrive(driveDbFs)}${level}.`,
      ),
    ];
  });
}

/** Mostly the clean settings; told, because "not reached" is an answer. */
function noOnsetRows({ perSetting }: Clipping): Statement[] {
  const rows = perSetting.map(({ setting, driveDbFs }) => ({ setting, answer: driveDbFs }));
  return settingsByReason(rows).map(({ settings, reason }) =>
    known(say`1 % distortion at ${settings}: ${asClause(reason)}.`),
  );
}

function railVerdict({ verdict }: Rail): Statement {
  switch (verdict) {
    case 'as the supply allows':
      return known(say`That is right for a bridged power stage on this supply.`);
    case 'half of it':
      return known(
        say`That is half of it. Did somebody measure one leg instead of the pair? Settle this first: until then, trust no volts here.`,
      );
    case 'far below':
      return known(say`That is far below it. Either a limiter holds it, or the pad was entered wrong.`);
    case 'above the supply':
      return known(
        say`That is above it. Either the radio boosts its supply, or the pad was entered wrong by a factor of two.`,
      );
    case 'not told':
      return notKnown({
        what: 'whether this agrees with the supply',
        reason: 'nobody noted the supply volts of these takes',
      });
  }
}
