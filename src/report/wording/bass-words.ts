import { BASS_FREQUENCIES_HZ, type FindingOf } from '../../model/finding.ts';
import { isNotMeasurable, type Measured } from '../../model/measured.ts';
import { fixed, formatDb, formatDrive, formatSetting, listed, plainDb, plainHz } from '../format.ts';
import { type Sentence, say, volts } from '../sentence.ts';
import {
  type FindingWords,
  measuredOr,
  type Statement,
  settingsByReason,
  told,
  untold,
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
      told(
        say`The radio lifts the bass at low settings${size}, up to setting ${formatSetting(finding.upToSetting)}. This is a loudness contour, not a loss: nothing is to be restored for it.`,
      ),
    ],
  };
}

export function bassLimiterWords(finding: FindingOf<'bass-limiter'>): FindingWords {
  return {
    subject: 'Bass limiter',
    statements: [
      told(
        say`A limiter holds the bass back: a low tone stops following the drive while the mid band still follows. Boosting cannot undo it.`,
      ),
      limiterPlace(finding.place),
      ...finding.perSetting.flatMap(({ setting, thresholdDriveDbFs, levelVoltsRms }) => {
        const at = `setting ${formatSetting(setting)}`;
        const threshold = measuredOr({
          what: `The drive at which the limiter sets in at ${at}`,
          answer: thresholdDriveDbFs,
          sentence: (drive) => say`At ${at} it is inactive below a drive of ${formatDrive(drive)}.`,
        });
        if (isNotMeasurable(levelVoltsRms)) return [threshold];
        return [
          threshold,
          told(say`There the tap carries ${volts(levelVoltsRms.value, levelVoltsRms.plusMinus)}.`),
        ];
      }),
    ],
  };
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
  return { setting: top.setting, losses: say`${listed(losses)}` };
}

/** "between 20 and 24, so from about 22". */
export function onsetWords(onset: NonNullable<BassChange['onset']>): string {
  const { lastIntact, firstChanged, midpoint } = onset;
  return `between settings ${formatSetting(lastIntact)} and ${formatSetting(firstChanged)} (take ${formatSetting(midpoint)})`;
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
      return [told(steadySentence(finding)), ...gapStatements(finding)];
    case 'cannot be told':
      return [
        untold({
          what: 'Whether the bass falls with the volume',
          reason: finding.reason ?? 'the recordings do not show it',
          recordNext:
            finding.recordNext === null ? undefined : `setting ${formatSetting(finding.recordNext)}`,
        }),
      ];
  }
}

function fallStatements(finding: BassChange): Statement[] {
  const top = lossAtTop(finding);
  const loss =
    top === null ? [] : [told(say`At setting ${formatSetting(top.setting)} it has lost ${top.losses}.`)];
  if (finding.onset === null) return [told(say`The bass falls as the volume rises.`), ...loss];
  const { atHz, thresholdDb } = finding.onset;
  return [
    told(say`The bass falls as the volume rises; it begins ${onsetWords(finding.onset)}.`),
    ...loss,
    told(
      say`The beginning is where the loss at ${plainHz(atHz)} first exceeds ${plainDb(thresholdDb)} against settings ${listed(finding.plateauSettings.map(formatSetting))}, which agree with each other.`,
    ),
  ];
}

/** Settings and frequencies at which the change could not be measured. */
function gapStatements({ changes }: BassChange): Statement[] {
  return BASS_FREQUENCIES_HZ.flatMap((hz, i) =>
    settingsByReason(changes.map(({ setting, changeDb }) => ({ setting, answer: changeDb[i] }))).map(
      ({ settings, reason, recordNext }) =>
        untold({ what: `The change at ${plainHz(hz)}, ${settings},`, reason, recordNext }),
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
    return told(say`Setting ${formatSetting(setting)}: ${forms.join(' or ')}.`);
  });
  switch (shape.model) {
    case 'shelf':
      return [told(say`The loss has the shape of a shelf that deepens with the volume.`), ...perSetting];
    case 'high-pass':
      return [
        told(say`The loss has the shape of a high-pass whose corner climbs with the volume.`),
        ...perSetting,
      ];
    case 'shelf or high-pass':
      return [
        untold({ what: 'Whether it is a shelf or a climbing high-pass', reason: shape.reason }),
        ...perSetting,
        told(say`Go by the loss at each frequency; it is the same either way.`),
      ];
  }
}

function shelfWords(shelf: { frequencyHz: number; gainDb: number; q?: number }): string {
  const steepness = shelf.q === undefined ? '' : ` (Q ${fixed(shelf.q, 1)})`;
  return `a shelf of ${plainDb(shelf.gainDb)} at ${plainHz(shelf.frequencyHz)}${steepness}`;
}

function highPassWords(highPass: { order: number; fromHz: number | null; cornerHz: number }): string {
  const from = highPass.fromHz === null ? '' : `, up from ${plainHz(highPass.fromHz)}`;
  return `a high-pass of order ${highPass.order} at ${plainHz(highPass.cornerHz)}${from}`;
}

function nextStatements({ recordNext }: BassChange): Statement[] {
  return recordNext === null
    ? []
    : [told(say`To narrow the beginning down, record setting ${formatSetting(recordNext)} next.`)];
}

function steadySentence(finding: BassChange): Sentence {
  const largest = largestChange(finding.changes);
  if (largest === null) return say`The bass does not change with the volume.`;
  return say`The bass does not change with the volume: the largest difference is ${formatDb(largest.change)} at ${plainHz(largest.frequencyHz)}, setting ${formatSetting(largest.setting)}.`;
}

function largestChange(
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
      return told(say`It sits before the volume control: it sets in at the same drive at every setting.`);
    case 'after the volume control':
      return told(
        say`It sits after the volume control: it sets in at the same voltage, so at a lower drive when turned up.`,
      );
    case 'cannot be told':
      return untold({
        what: 'Whether it sits before or after the volume control',
        reason: 'it takes two settings in which it acts',
      });
  }
}
