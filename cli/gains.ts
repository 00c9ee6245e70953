import { SteptoneError } from '../src/model/errors.ts';
import { MOST_RESTORATION_DB } from '../src/recommend/bass/restoration-limit.ts';
import { type MeterGains, type MeterReading, meterGains } from '../src/recommend/chain/meter-gains.ts';
import type { Outcome } from './outcome.ts';

/** As given on the command line: numbers are still words. */
export interface GainsArguments {
  /** Tone and volts at the highest clean setting, such as `55=3.2,997=8.0`; drive after @ where not full scale: `55=1.8@-5`. */
  readonly readings: string;
  /** The same tones at a setting at which the bass is still whole. */
  readonly low?: string;
  readonly line?: string;
  readonly watts: string;
  readonly ohms?: string;
  readonly overlap?: string;
  /** What the speaker stands. */
  readonly speakerWatts?: string;
  /** `0.2,4`: volts for rated output, gain fully up and fully down. */
  readonly sensitivity?: string;
  readonly restore?: string;
  readonly inputLimit?: string;
}

/**
 * Gains of one output from a few meter readings, without recordings.
 *
 * @throws SteptoneError 'usage' where a reading or a figure cannot be read, or is not above zero
 */
export async function gainsCommand({
  readings,
  low = '',
  line = '4',
  watts,
  ohms = '4',
  overlap = '0',
  speakerWatts,
  sensitivity,
  restore = String(MOST_RESTORATION_DB),
  inputLimit,
}: GainsArguments): Promise<Outcome> {
  const gains = meterGains({
    readings: parseReadings(readings, '--readings'),
    quietReadings: parseReadings(low, '--low'),
    lineVolts: figure(line, '--line', ABOVE_ZERO),
    watts: figure(watts, '--watts', ABOVE_ZERO),
    ohms: figure(ohms, '--ohms', ABOVE_ZERO),
    gainOverlapDb: figure(overlap, '--overlap', {
      words: 'a number from 0 to 10',
      holds: (db) => db >= 0 && db <= 10,
    }),
    speakerWatts: speakerWatts === undefined ? null : figure(speakerWatts, '--speaker-watts', ABOVE_ZERO),
    sensitivityRangeVolts: sensitivity === undefined ? null : rangeOf(sensitivity),
    mostRestorationDb: figure(restore, '--restore', {
      words: 'a number of 0 or more',
      holds: (db) => db >= 0,
    }),
    inputLimitVolts: inputLimit === undefined ? null : figure(inputLimit, '--input-limit', ABOVE_ZERO),
  });
  return { text: sheet(gains), data: gains };
}

const READING = /^\s*(?<tone>[\d.]+)\s*=\s*(?<volts>-?[\d.]+)\s*(?:@\s*(?<drive>-?[\d.]+)\s*)?$/;

function parseReadings(text: string, where: string): MeterReading[] {
  if (text.trim() === '') return [];
  return text.split(',').map((part) => {
    const found = READING.exec(part)?.groups;
    if (found === undefined) {
      throw new SteptoneError({
        code: 'usage',
        expected:
          'readings such as 55=3.2,997=8.0 (hertz=volts); @-5 behind a tone that was 5 dB below full scale',
        found: `'${part.trim()}'`,
        where,
        nextStep: 'write tone=volts with a decimal point, and commas between readings',
      });
    }
    return { toneHz: Number(found.tone), voltsRms: Number(found.volts), driveDbFs: Number(found.drive ?? 0) };
  });
}

/** Two figures above zero, the lower first. */
function rangeOf(text: string): [number, number] {
  const [from, to, ...more] = text.split(',').map((part) => figure(part, '--sensitivity', ABOVE_ZERO));
  if (to !== undefined && more.length === 0 && from <= to) return [from, to];
  throw new SteptoneError({
    code: 'usage',
    expected: 'input volts for rated power, gain fully up and fully down, such as 0.2,4',
    found: `'${text}'`,
    where: '--sensitivity',
    nextStep: 'look both up in the amplifier’s data sheet',
  });
}

interface Range {
  readonly words: string;
  readonly holds: (value: number) => boolean;
}
const ABOVE_ZERO: Range = { words: 'a number above zero', holds: (value) => value > 0 };

function figure(text: string, where: string, { words, holds }: Range): number {
  const value = Number(text);
  if (text.trim() !== '' && Number.isFinite(value) && holds(value)) return value;
  throw new SteptoneError({
    code: 'usage',
    expected: words,
    found: `'${text}'`,
    where,
    nextStep: 'write it with a point: 2.5',
  });
}

function sheet({
  worstTapVolts,
  worstHz,
  converterGainDb,
  fullOutputVolts,
  sensitivityVolts,
  tones,
  setBy,
  pad,
}: MeterGains): string {
  const restores = tones.some(({ restoredDb }) => restoredDb > 0.05);
  const rows = tones.flatMap(({ toneHz, readings }) =>
    readings.map(({ driveDbFs, lineVoltsOff, lineVoltsOn, speakerVoltsOff, speakerVoltsOn, overLimit }) =>
      [
        `${toneHz} Hz`.padStart(8),
        `${driveDbFs}`.padStart(6),
        volts(lineVoltsOff),
        ...(restores ? [volts(lineVoltsOn)] : []),
        volts(speakerVoltsOff),
        ...(restores ? [volts(speakerVoltsOn)] : []),
        overLimit
          ? '  do not play: over the limit'
          : toneHz === setBy.toneHz && driveDbFs === setBy.driveDbFs
            ? '  set by this'
            : '',
      ].join(''),
    ),
  );
  const heads = restores ? ['line off', 'line on', 'speaker off', 'speaker on'] : ['line', 'speaker'];
  return [
    `The radio gives up to ${worstTapVolts.toFixed(2)} V; the line is full at ${worstHz} Hz.`,
    `Converter: ${converterGainDb.toFixed(1)} dB. Amplifier: full output ${fullOutputVolts.toFixed(1)} V, input sensitivity ${sensitivityVolts.toFixed(2)} V.`,
    ...tones
      .filter(({ lostDb }) => lostDb > 0.05)
      .map(
        ({ toneHz, lostDb, restoredDb }) =>
          `At ${toneHz} Hz ${lostDb.toFixed(1)} dB are missing, ${restoredDb.toFixed(1)} dB are put back.`,
      ),
    ...(pad === null
      ? []
      : [
          `Pad for each input: ${pad.seriesOhms} ohm (${pad.seriesRatingWatts} W) in series, ${pad.shuntOhms} ohm (${pad.shuntRatingWatts} W) across.`,
        ]),
    '',
    `${'tone'.padStart(8)}${'dBFS'.padStart(6)}${heads.map((head) => head.padStart(13)).join('')}  volts RMS, ${restores ? 'restoration off and on' : 'no restoration'}`,
    ...rows,
    '',
    'Set with restoration, filters and bass controls off, speakers unplugged or a load on. Full-scale tones harm tweeters and ears.',
  ].join('\n');
}

function volts(value: number): string {
  return value.toFixed(value < 10 ? 2 : 1).padStart(13);
}
