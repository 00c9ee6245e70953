import { SteptoneError } from '../model/errors.ts';
import { MOST_RESTORATION_DB } from '../recommend/bass/restoration-limit.ts';
import { type MeterGains, type MeterReading, meterGains } from '../recommend/chain/meter-gains.ts';
import { gainsLines } from '../report/wording/meter-gains-words.ts';

/** What is asked beside the readings, as it is typed. */
export interface GainsFigures {
  /** Most that the converter puts out, volts. */
  readonly line?: string | undefined;
  /** Rated power of the amplifier channel, and the load for it. */
  readonly watts: string;
  readonly ohms?: string | undefined;
  readonly overlap?: string | undefined;
  /** What the speaker stands; not checked where absent. */
  readonly speakerWatts?: string | undefined;
  /** `0.2,4`: volts for rated output, gain fully up and fully down. */
  readonly sensitivity?: string | undefined;
  /** Most bass restoration, dB. */
  readonly restore?: string | undefined;
  /** What the converter's inputs stand, volts. */
  readonly inputLimit?: string | undefined;
}

/** What is meant where nothing is typed. */
export const USUAL_GAINS_FIGURES = {
  line: '4',
  ohms: '4',
  overlap: '0',
  restore: String(MOST_RESTORATION_DB),
} as const;

interface GainsByMeter {
  readonly gains: MeterGains;
  readonly text: string;
}

/**
 * Gains of one output from a few meter readings, without recordings.
 *
 * @param names what messages call each figure: an option of the command line, a field of the page
 * @throws SteptoneError 'usage' where a figure cannot be read or is out of its range
 */
export function gainsByMeter(
  of: {
    readonly readings: readonly MeterReading[];
    readonly quietReadings: readonly MeterReading[];
    readonly figures: GainsFigures;
  },
  names: Readonly<Record<keyof GainsFigures, string>>,
): GainsByMeter {
  const { watts, speakerWatts, sensitivity, inputLimit } = of.figures;
  const {
    line = USUAL_GAINS_FIGURES.line,
    ohms = USUAL_GAINS_FIGURES.ohms,
    overlap = USUAL_GAINS_FIGURES.overlap,
    restore = USUAL_GAINS_FIGURES.restore,
  } = of.figures;
  const orNull = (text: string | undefined, where: string) =>
    text === undefined ? null : figure(text, where, ABOVE_ZERO);
  const gains = meterGains({
    readings: of.readings,
    quietReadings: of.quietReadings,
    lineVolts: figure(line, names.line, ABOVE_ZERO),
    watts: figure(watts, names.watts, ABOVE_ZERO),
    ohms: figure(ohms, names.ohms, ABOVE_ZERO),
    gainOverlapDb: figure(overlap, names.overlap, {
      expected: 'a number from 0 to 10',
      holds: (db) => db >= 0 && db <= 10,
    }),
    speakerWatts: orNull(speakerWatts, names.speakerWatts),
    sensitivityRangeVolts: sensitivity === undefined ? null : rangeOf(sensitivity, names.sensitivity),
    mostRestorationDb: figure(restore, names.restore, {
      expected: 'a number of 0 or more',
      holds: (db) => db >= 0,
    }),
    inputLimitVolts: orNull(inputLimit, names.inputLimit),
  });
  return { gains, text: gainsLines(gains).join('\n') };
}

/** Two figures above zero, the lower first. */
function rangeOf(text: string, where: string): [number, number] {
  const [from, to, ...more] = text.split(',').map((part) => figure(part, where, ABOVE_ZERO));
  if (to !== undefined && more.length === 0 && from <= to) return [from, to];
  throw new SteptoneError({
    code: 'usage',
    expected: 'input volts for rated power, gain fully up and fully down, such as 0.2,4',
    found: text === '' ? 'nothing' : `'${text}'`,
    where,
    nextStep: 'look both up in the amplifier’s data sheet',
  });
}

interface Range {
  readonly expected: string;
  readonly holds: (value: number) => boolean;
}
const ABOVE_ZERO: Range = { expected: 'a number above zero', holds: (value) => value > 0 };

function figure(text: string, where: string, { expected, holds }: Range): number {
  const value = Number(text);
  if (text.trim() !== '' && Number.isFinite(value) && holds(value)) return value;
  throw new SteptoneError({
    code: 'usage',
    expected,
    found: text === '' ? 'nothing' : `'${text}'`,
    where,
    nextStep: 'write it with a point: 2.5',
  });
}
