import { decibels, ratioOf } from '../../dsp/decibels.ts';
import { SteptoneError } from '../../model/errors.ts';
import { METER_DRIVES_DB_FS } from '../../tones/meter-tone.ts';
import { padFor } from '../install/pad-resistors.ts';
import { AT_LIMIT_RATIO, driveForOverlap } from './meter-targets.ts';
import { ANY_GAIN_DB, type SolvedLevels, solveLevels } from './solve-levels.ts';

/** One reading of a meter across a factory output while a meter tone plays. */
export interface MeterReading {
  readonly toneHz: number;
  readonly driveDbFs: number;
  readonly voltsRms: number;
}

interface MeterGainsWanted {
  /** At the highest clean setting. */
  readonly readings: readonly MeterReading[];
  /** The same tones at a setting at which the bass is still whole; empty where nothing is to be restored. */
  readonly quietReadings: readonly MeterReading[];
  readonly lineVolts: number;
  readonly watts: number;
  readonly ohms: number;
  readonly gainOverlapDb: number;
  /** What the speaker stands; null where nobody noted it. */
  readonly speakerWatts: number | null;
  /** Volts for rated output, from the gain fully up to fully down; null where nobody noted it. */
  readonly sensitivityRangeVolts: readonly [number, number] | null;
  /** Most that the converter can restore. */
  readonly mostRestorationDb: number;
  /** What the converter's inputs stand; null where it is not known. */
  readonly inputLimitVolts: number | null;
}

export interface MeterGains {
  readonly worstTapVolts: number;
  readonly worstHz: number;
  readonly converterGainDb: number;
  readonly fullOutputVolts: number;
  readonly sensitivityVolts: number;
  readonly tones: readonly {
    readonly toneHz: number;
    /** Bass that is missing against the quiet setting, and what is put back. */
    readonly lostDb: number;
    readonly restoredDb: number;
    readonly readings: readonly {
      readonly driveDbFs: number;
      readonly lineVoltsOff: number;
      readonly lineVoltsOn: number;
      readonly speakerVoltsOff: number;
      readonly speakerVoltsOn: number;
      readonly overLimit: boolean;
    }[];
  }[];
  readonly setBy: { readonly toneHz: number; readonly driveDbFs: number };
  readonly pad: ReturnType<typeof padFor>;
}

/** Many meters fall off above this; readings above it are believed for what they are. */
const METER_TRUSTED_HZ = 400;

/**
 * The gains of one output from a few meter readings, without recordings: the same arithmetic as the plan's, at the tones
 * that were read. The highest tone is the reference that bass is compared with.
 *
 * @throws SteptoneError 'usage' where there is no reading, or a value is not above zero
 */
export function meterGains(wanted: MeterGainsWanted): MeterGains {
  const loud = fullScaleVolts(wanted.readings);
  check(wanted, loud);
  const tones = tonesOf(wanted, loud);
  const worst = tones.reduce((most, tone) => (tone.restoredVolts > most.restoredVolts ? tone : most));
  const levels = levelsFor(wanted, worst.restoredVolts);
  const worstTapVolts = Math.max(...loud.values());
  return {
    worstTapVolts,
    worstHz: worst.toneHz,
    converterGainDb: decibels(levels.converterGain),
    fullOutputVolts: levels.outputVolts!,
    sensitivityVolts: levels.sensitivityVolts!,
    tones: tones.map((tone) => ({
      toneHz: tone.toneHz,
      lostDb: tone.lostDb,
      restoredDb: tone.restoredDb,
      readings: METER_DRIVES_DB_FS.map((driveDbFs) => readingAt(tone, driveDbFs, levels)),
    })),
    setBy: {
      toneHz: (tones.find(({ toneHz }) => toneHz <= METER_TRUSTED_HZ) ?? tones[0]).toneHz,
      driveDbFs: driveForOverlap(levels.gainOverlapDb),
    },
    pad: padBefore(wanted.inputLimitVolts, worstTapVolts),
  };
}

interface ReadTone {
  readonly toneHz: number;
  /** At full scale, at the highest clean setting. */
  readonly volts: number;
  readonly lostDb: number;
  readonly restoredDb: number;
  readonly restoredVolts: number;
}

/** Ascending. What the radio takes from a tone as the volume goes up is held against the highest one. */
function tonesOf(wanted: MeterGainsWanted, loud: ReadonlyMap<number, number>): ReadTone[] {
  const quiet = fullScaleVolts(wanted.quietReadings);
  const referenceHz = Math.max(...loud.keys());
  const lostDb = (toneHz: number) => {
    const [before, reference] = [quiet.get(toneHz), quiet.get(referenceHz)];
    if (before === undefined || reference === undefined) return 0;
    return Math.max(0, decibels(before / reference) - decibels(loud.get(toneHz)! / loud.get(referenceHz)!));
  };
  return [...loud]
    .sort(([a], [b]) => a - b)
    .map(([toneHz, volts]) => {
      const lost = lostDb(toneHz);
      const restoredDb = Math.min(wanted.mostRestorationDb, lost);
      return { toneHz, volts, lostDb: lost, restoredDb, restoredVolts: volts * ratioOf(restoredDb) };
    });
}

function levelsFor(wanted: MeterGainsWanted, volts: number): SolvedLevels {
  return solveLevels({
    sourceVolts: volts,
    playedVolts: volts,
    // Its level is set by the reading.
    converter: { gainRangeDb: ANY_GAIN_DB, outputLimitVolts: wanted.lineVolts },
    amplifier: {
      ratedVolts: Math.sqrt(wanted.watts * wanted.ohms),
      sensitivityRangeVolts: wanted.sensitivityRangeVolts,
      gainOverlapDb: wanted.gainOverlapDb,
    },
    loadVolts:
      wanted.speakerWatts === null ? Number.POSITIVE_INFINITY : Math.sqrt(wanted.speakerWatts * wanted.ohms),
  });
}

function readingAt(
  { volts, restoredDb }: ReadTone,
  driveDbFs: number,
  { converterGain, amplifierGain, outputVolts }: SolvedLevels,
): MeterGains['tones'][number]['readings'][number] {
  const lineVoltsOff = volts * converterGain * ratioOf(driveDbFs);
  const lineVoltsOn = lineVoltsOff * ratioOf(restoredDb);
  return {
    driveDbFs,
    lineVoltsOff,
    lineVoltsOn,
    speakerVoltsOff: lineVoltsOff * amplifierGain!,
    speakerVoltsOn: lineVoltsOn * amplifierGain!,
    overLimit: lineVoltsOn * amplifierGain! > outputVolts! * AT_LIMIT_RATIO,
  };
}

function padBefore(limitVolts: number | null, tapVolts: number): MeterGains['pad'] {
  if (limitVolts === null || tapVolts <= limitVolts) return null;
  return padFor({ inputVolts: tapVolts, outputVolts: limitVolts, loadOhms: USUAL_INPUT_OHMS });
}

/** Input of a converter where it is not given (common practice). */
const USUAL_INPUT_OHMS = 10_000;

/** What each tone would read at full scale, by its drive. */
function fullScaleVolts(readings: readonly MeterReading[]): Map<number, number> {
  return new Map(readings.map(({ toneHz, driveDbFs, voltsRms }) => [toneHz, voltsRms * ratioOf(-driveDbFs)]));
}

function check(
  { readings, quietReadings, lineVolts, watts, ohms, inputLimitVolts, gainOverlapDb }: MeterGainsWanted,
  volts: Map<number, number>,
) {
  const fail = (expected: string, found: string) => {
    throw new SteptoneError({
      code: 'usage',
      expected,
      found,
      where: 'the meter readings',
      nextStep: 'play a 55 or 100 Hz tone, read the volts across the pair, and write both down',
    });
  };
  if (volts.size === 0) fail('at least one reading', 'none');
  for (const { toneHz, voltsRms } of [...readings, ...quietReadings]) {
    if (!(toneHz > 0 && voltsRms > 0)) fail('a tone and volts above zero', `${toneHz}=${voltsRms}`);
  }
  const figures = { lineVolts, watts, ohms, inputLimitVolts: inputLimitVolts ?? 1 };
  for (const [name, value] of Object.entries(figures))
    if (!(value > 0)) fail(`${name} above zero`, `${value}`);
  if (!(gainOverlapDb >= 0 && gainOverlapDb <= 10)) fail('a gain overlap of 0 to 10 dB', `${gainOverlapDb}`);
}
