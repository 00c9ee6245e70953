import { type GainsFigures, gainsByMeter } from '../src/commands/gains-by-meter.ts';
import { SteptoneError } from '../src/model/errors.ts';
import type { MeterReading } from '../src/recommend/chain/meter-gains.ts';
import type { Outcome } from './outcome.ts';

/** As given on the command line: numbers are still words. */
interface GainsArguments extends GainsFigures {
  /** Tone and volts at the highest clean setting, such as `55=3.2,997=8.0`; drive after @ where not full scale: `55=1.8@-5`. */
  readonly readings: string;
  /** The same tones at a setting at which the bass is still whole. */
  readonly low?: string;
}

const OPTIONS: Readonly<Record<keyof GainsFigures, string>> = {
  line: '--line',
  watts: '--watts',
  ohms: '--ohms',
  overlap: '--overlap',
  speakerWatts: '--speaker-watts',
  sensitivity: '--sensitivity',
  restore: '--restore',
  inputLimit: '--input-limit',
};

/**
 * Gains of one output from a few meter readings, without recordings.
 *
 * @throws SteptoneError 'usage' where a reading or a figure cannot be read, or is not above zero
 */
export async function gainsCommand({ readings, low = '', ...figures }: GainsArguments): Promise<Outcome> {
  const { gains, text } = gainsByMeter(
    {
      readings: parseReadings(readings, '--readings'),
      quietReadings: parseReadings(low, '--low'),
      figures,
    },
    OPTIONS,
  );
  return { text, data: gains };
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
