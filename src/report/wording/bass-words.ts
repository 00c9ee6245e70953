import { BASS_FREQUENCIES_HZ, type FindingOf } from '../../model/finding.ts';
import { isNotMeasurable, type Measured } from '../../model/measured.ts';
import { codeOf } from '../../model/reason.ts';
import { listed } from '../../words/figures.ts';
import { fixed, formatDb, formatDrive, formatSetting, plainDb, plainHz } from '../format.ts';
import { type Sentence, say, volts } from '../sentence.ts';
import {
  type FindingWords,
  known,
  measuredOr,
  notKnown,
  type Statement,
  settingsByReason,
} from './statement.ts';

type BassChange = FindingOf<'bass-change'>;
type Shape = NonNullable<BassChange['shape']>;

export function bassChangeWords(finding: BassChange): FindingWords {
  return { subject: 'Bass against volume', statements: bassStatements(finding) };
}

export function loudnessContourWords(finding: FindingOf<'loudness-contour'>): FindingWords {
  const lift = largestChange(finding.changes);
  const size =
    lift === null ? say`` : say` by up to ${formatDb(lift.change)} at ${plainHz(lift.frequencyHz)}`;
  return {
    subject: 'Loudness contour',
    statements: [
      known(
        say`At low settings the radio lifts the bass${size}. It stops doing so above ${formatSetting(finding.upToSetting)}. That is a loudness contour, not a loss: restore nothing for it.`,
      ),
    ],
  };
}

export function bassLimiterWords(finding: FindingOf<'bass-limiter'>): FindingWords {
  return {
    subject: 'Bass limiter',
    statements: [
      known(
        say`A limiter holds the bass: a low tone stops getting louder while the mid band still does. Boosting cannot undo that.`,
      ),
      limiterPlace(finding.place),
      ...finding.perSetting.flatMap(({ setting, thresholdDriveDbFs, levelVoltsRms }) => {
        const at = `setting ${formatSetting(setting)}`;
        const threshold = measuredOr({
          what: `at which drive the limiter starts at ${at}`,
          answer: thresholdDriveDbFs,
          sentence: (drive) => say`At ${at} it leaves the bass alone below ${formatDrive(drive)}.`,
        });
        if (isNotMeasurable(levelVoltsRms)) return [threshold];
        return [
          threshold,
          known(say`The output then gives ${volts(levelVoltsRms.value, levelVoltsRms.plusMinus)}.`),
        ];
      }),
    ],
  };
}

export function carriesNoBass({ reason }: BassChange): boolean {
  return reason !== null && codeOf(reason) === 'no bass to judge';
}

/** The bass lost at the highest setting in which it is known, at some of the frequencies: what a verdict quotes. */
export function lossAtTop(
  finding: BassChange,
  frequenciesHz: readonly number[] = BASS_FREQUENCIES_HZ,
): { setting: number; losses: Sentence } | null {
  const known = finding.changes.filter(({ changeDb }) => changeDb.some((change) => !isNotMeasurable(change)));
  const top = known.reduce<(typeof known)[number] | null>(
    (best, next) => (best === null || next.setting > best.setting ? next : best),
    null,
  );
  if (top === null) return null;
  const losses = top.changeDb.flatMap((change, i) =>
    isNotMeasurable(change) || !frequenciesHz.includes(BASS_FREQUENCIES_HZ[i])
      ? []
      : [`${formatDb({ ...change, value: -change.value })} at ${plainHz(BASS_FREQUENCIES_HZ[i])}`],
  );
  const atLeast = finding.atLeast === undefined ? '' : 'at least ';
  return { setting: top.setting, losses: say`${atLeast}${listed(losses)}` };
}

/** "at about 22, between settings 20 and 24". */
function onsetWords(onset: NonNullable<BassChange['onset']>): string {
  const { lastIntact, firstChanged, midpoint } = onset;
  return `at about ${formatSetting(midpoint)}, between settings ${formatSetting(lastIntact)} and ${formatSetting(firstChanged)}`;
}

function bassStatements(finding: BassChange): Statement[] {
  switch (finding.verdict) {
    case 'falls with volume':
      return [
        ...fallStatements(finding),
        ...gapStatements(finding),
        ...shapeStatements(finding.shape),
        ...nextStatements(finding),
      ];
    case 'steady':
      return [known(steadySentence(finding)), ...gapStatements(finding)];
    case 'cannot be told':
      if (carriesNoBass(finding)) return [known(say`It carries no bass.`)];
      return [
        notKnown({
          what: 'whether the radio cuts the bass',
          reason: finding.reason ?? 'the recordings do not show it',
          recordNext:
            finding.recordNext === null ? undefined : `setting ${formatSetting(finding.recordNext)}`,
        }),
      ];
  }
}

function fallStatements(finding: BassChange): Statement[] {
  const top = lossAtTop(finding);
  const loss = top === null ? [] : [known(say`By ${formatSetting(top.setting)} it takes ${top.losses}.`)];
  if (finding.onset === null) return [known(say`The radio cuts bass as you turn it up.`), ...loss];
  return [
    known(say`The radio starts cutting bass ${onsetWords(finding.onset)}.`),
    ...loss,
    known(say`${referenceWords(finding, finding.onset)}`),
  ];
}

function referenceWords(
  { plateauSettings, atLeast }: BassChange,
  { atHz, thresholdDb }: NonNullable<BassChange['onset']>,
): Sentence {
  const falls = say`The cut starts where ${plainHz(atHz)} falls below`;
  if (plateauSettings.length > 0)
    return say`Settings ${listed(plateauSettings.map(formatSetting))} agree. ${falls} them by ${plainDb(thresholdDb)}.`;
  return atLeast === undefined
    ? say`${falls} the lowest settings by ${plainDb(thresholdDb)}.`
    : say`No three settings agree. ${falls} setting ${formatSetting(atLeast.fromSetting)} by ${plainDb(thresholdDb)}.`;
}

/** Settings and frequencies at which the change could not be measured. */
function gapStatements({ changes }: BassChange): Statement[] {
  return BASS_FREQUENCIES_HZ.flatMap((hz, i) =>
    settingsByReason(changes.map(({ setting, changeDb }) => ({ setting, answer: changeDb[i] }))).map(
      ({ settings, reason, recordNext }) =>
        notKnown({ what: `the change at ${plainHz(hz)}, ${settings}`, reason, recordNext }),
    ),
  );
}

function shapeStatements(shape: Shape | null): Statement[] {
  if (shape === null) return [];
  const perSetting = shape.perSetting.map(({ setting, shelf, highPass }) => {
    const forms = [
      ...(shelf === null ? [] : [shelfWords(shelf)]),
      ...(highPass === null ? [] : [highPassWords(highPass)]),
    ];
    return known(say`Setting ${formatSetting(setting)}: ${forms.join(' or ')}.`);
  });
  switch (shape.model) {
    case 'shelf':
      return [known(say`The cut is a shelf that gets deeper as you turn it up.`), ...perSetting];
    case 'high-pass':
      return [known(say`The cut is a high-pass whose corner climbs as you turn it up.`), ...perSetting];
    case 'shelf or high-pass':
      return [
        notKnown({ what: 'whether it is a shelf or a climbing high-pass', reason: shape.reason }),
        ...perSetting,
        known(say`Go by the loss at each frequency: it is the same either way.`),
      ];
  }
}

function shelfWords(shelf: { frequencyHz: number; gainDb: number; q?: number | undefined }): string {
  const steepness = shelf.q === undefined ? '' : ` (Q ${fixed(shelf.q, 1)})`;
  return `a shelf of ${plainDb(shelf.gainDb)} at ${plainHz(shelf.frequencyHz)}${steepness}`;
}

function highPassWords(highPass: { order: number; fromHz: number | null; cornerHz: number }): string {
  const from = highPass.fromHz === null ? '' : `, up from ${plainHz(highPass.fromHz)}`;
  return `a high-pass of order ${highPass.order} at ${plainHz(highPass.cornerHz)}${from}`;
}

function nextStatements({ recordNext, plateauSettings }: BassChange): Statement[] {
  if (recordNext === null) return [];
  const why =
    plateauSettings.length === 0
      ? 'it shows how much the radio takes'
      : 'it narrows down where the cut starts';
  return [known(say`Record setting ${formatSetting(recordNext)} next: ${why}.`)];
}

function steadySentence(finding: BassChange): Sentence {
  const largest = largestChange(finding.changes);
  if (largest === null) return say`The bass stays as you turn it up.`;
  return say`The bass stays as you turn it up. Setting ${formatSetting(largest.setting)} differs most: at ${plainHz(largest.frequencyHz)} by ${formatDb(largest.change)}.`;
}

export function largestChange(
  changes: BassChange['changes'],
): { setting: number; frequencyHz: number; change: Measured } | null {
  const all = changes.flatMap(({ setting, changeDb }) =>
    changeDb.flatMap((change, i) =>
      isNotMeasurable(change) ? [] : [{ setting, frequencyHz: BASS_FREQUENCIES_HZ[i], change }],
    ),
  );
  return all.reduce<(typeof all)[number] | null>(
    (best, next) =>
      best === null || Math.abs(next.change.value) > Math.abs(best.change.value) ? next : best,
    null,
  );
}

function limiterPlace(place: FindingOf<'bass-limiter'>['place']): Statement {
  switch (place) {
    case 'before the volume control':
      return known(say`It sits ahead of the volume control: at every setting it starts at the same drive.`);
    case 'after the volume control':
      return known(
        say`It sits behind the volume control: it starts at the same volts, so turned up it starts earlier.`,
      );
    case 'cannot be told':
      return notKnown({
        what: 'whether it sits ahead of or behind the volume control',
        reason: 'that takes two settings at which it acts',
      });
  }
}
