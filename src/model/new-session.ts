import { SteptoneError } from './errors.ts';
import type { SessionInput } from './session-input.ts';
import { settingsInOrder } from './setting-range.ts';

/** What a person answers before the first take, as written. */
export interface NewSessionAnswers {
  readonly name: string;
  /** 10-38/4 */
  readonly settings: string;
  /** front-left, front-right, rear-left */
  readonly taps: string;
  /** speaker, line, or nothing where nobody knows. */
  readonly level: string;
  /** Of the recorder. */
  readonly channels: string;
  /** `11, 1.4` (pad ratio, RMS volts of a full-scale sine at the recorder) or `none`. */
  readonly calibration: string;
}

/** What may be left out, with what it then is. */
export const NEW_SESSION_DEFAULTS = {
  name: 'Factory outputs',
  level: '',
  channels: '2',
  calibration: 'none',
} as const;

/** More than any recorder in a bay has (common practice). */
const MOST_CHANNELS = 64;
const PAIR_LETTERS = 'abcdefghijklmnopqrstuvwxyz';

/**
 * A session for recordings that are still to be made. With fewer recorder channels than taps, the taps are taken in
 * groups, one file a setting named pair-a-10.wav, and one linking take a further group named link-b-24.wav.
 *
 * @throws SteptoneError 'settings', 'session-field' or 'calibration' for an answer that cannot be read
 */
export function newSession(answers: NewSessionAnswers): SessionInput {
  const settings = answers.settings.trim();
  settingsInOrder({ given: settings, where: 'settings' });
  const taps = tapsIn(answers.taps);
  const channels = channelCountIn(answers.channels);
  return {
    name: answers.name.trim() || NEW_SESSION_DEFAULTS.name,
    settings,
    taps,
    ...levelIn(answers.level),
    ...(taps.length <= channels ? { channels: taps } : { recordings: groupsOf(taps, channels) }),
    calibration: calibrationIn(answers.calibration),
  };
}

function tapsIn(text: string): string[] {
  const taps = text
    .split(',')
    .map((tap) => tap.trim())
    .filter((tap) => tap !== '');
  const twice = taps.find((tap, i) => taps.indexOf(tap) !== i);
  if (taps.length > 0 && twice === undefined) return taps;
  throw new SteptoneError({
    code: 'session-field',
    expected: 'the outputs to record, each once: front-left, front-right, rear-left, rear-right',
    found: twice === undefined ? 'none' : `'${twice}' twice`,
    where: 'taps',
    nextStep: 'write their names with commas between them',
  });
}

function levelIn(text: string): Pick<SessionInput, 'level'> {
  const level = text
    .trim()
    .toLowerCase()
    .replace(/ level$/, '');
  if (level === '' || level === 'not known') return {};
  if (level === 'speaker' || level === 'line') return { level };
  throw new SteptoneError({
    code: 'session-field',
    expected: 'speaker or line',
    found: `'${text}'`,
    where: 'level',
    nextStep:
      'write speaker where the outputs drive speakers, line where they feed an amplifier, else not known',
  });
}

function channelCountIn(text: string): number {
  const channels = Number(text);
  if (Number.isInteger(channels) && channels >= 1 && channels <= MOST_CHANNELS) return channels;
  throw new SteptoneError({
    code: 'session-field',
    expected: `how many channels the recorder has, 1 to ${MOST_CHANNELS}`,
    found: `'${text}'`,
    where: 'channels',
    nextStep: 'write 2 for a stereo recorder',
  });
}

function calibrationIn(text: string): NonNullable<SessionInput['calibration']> {
  const written = text.trim().toLowerCase();
  if (written === '' || written === 'none') return 'none';
  const [padRatio, fullScaleVoltsRms, ...more] = figuresIn(written);
  if (more.length === 0 && padRatio >= 1 && fullScaleVoltsRms > 0)
    return { kind: 'pad', padRatio, fullScaleVoltsRms };
  throw new SteptoneError({
    code: 'calibration',
    expected:
      'the pad ratio (1 or more) and the volts RMS that fill the recorder’s scale, such as 11, 1.4; or none',
    found: `'${text}'`,
    where: 'calibration',
    nextStep: 'write two figures, such as 11, 1.4; or none if you will calibrate with a meter tone later',
  });
}

/** `11, 1.4`, `11 1.4`, and `11,3 1,4` where the comma is the decimal sign. */
function figuresIn(text: string): number[] {
  const apart = /[\s;]/.test(text) ? text.split(/,?[\s;]+/) : text.split(',');
  return apart.map((figure) => Number(figure.replace(',', '.')));
}

/** Linking takes share the first tap with the first group, so that arrival times compare. */
function groupsOf(taps: readonly string[], channels: number): NonNullable<SessionInput['recordings']> {
  const groups = Array.from({ length: Math.ceil(taps.length / channels) }, (_, i) =>
    taps.slice(i * channels, (i + 1) * channels),
  );
  const letter = (i: number) => PAIR_LETTERS[i] ?? String(i + 1);
  const linking = channels < 2 ? [] : groups.slice(1);
  return [
    ...groups.map((group, i) => ({ file: `pair-${letter(i)}-*.wav`, channels: group })),
    ...linking.map((group, i) => ({ file: `link-${letter(i + 1)}-*.wav`, channels: [taps[0], group[0]] })),
  ];
}
