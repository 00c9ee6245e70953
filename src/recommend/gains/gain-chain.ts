import type { Amplifier, Converter, Equipment, Output } from '../../model/equipment.ts';
import { gridFrequencyHz, valueAt } from '../../model/frequency-grid.ts';
import type { Feed } from '../feeds/feed.ts';
import { type Band, indexRange } from '../feeds/flatness.ts';
import { EXAMPLE_LINE_OUTPUT_VOLTS } from '../install/example-classes.ts';
import type { PlanContext } from '../plan-context.ts';
import { type FeedLevel, feedLevel } from './tap-level.ts';

const WHOLE_BAND_HZ: Band = [25, 15_000];
/** What each amplifier is asked to give in full (common practice: hand-over at 60 to 100 Hz). */
const AMPLIFIER_BAND_HZ: Readonly<Record<Output, Band>> = {
  front: [80, 15_000],
  rear: [80, 15_000],
  centre: [80, 15_000],
  subwoofer: [30, 70],
};

/** The way of one output's signal at the setting in which gains are set, full-scale tones on both sides alike. */
export interface GainChain {
  readonly output: Output;
  readonly setting: number;
  readonly tapIds: readonly string[];
  /** At the tap, restoration off; volts, or full-scale units where `inVolts` is false. */
  readonly tapLevel: Float64Array;
  readonly inVolts: boolean;
  readonly relativePlusMinus: number;
  readonly boostDb: Float64Array;
  readonly hasRestoration: boolean;
  readonly converter: Converter | null;
  /** Speaker-level inputs of the amplifier are used: no converter in between. */
  readonly direct: boolean;
  /** From the tap's units to volts at the line (1 where direct and calibrated). */
  readonly gain: number;
  /** What the converter's range leaves to be wished: positive where it cannot amplify enough, negative where too much. */
  readonly gainShortDb: number;
  readonly lineLimitVolts: number;
  readonly limitAssumed: boolean;
  readonly worstHz: number;
  readonly lineVoltsAtWorst: number;
  readonly amplifier: Amplifier | null;
  readonly stage: AmplifierStage | null;
}

export interface AmplifierStage {
  readonly loadOhms: number;
  readonly fullOutputVolts: number;
  readonly wattsAtLoad: number;
  readonly sensitivityVolts: number;
  readonly inRange: boolean;
  /** Volts at the amplifier's output for a volt at its input. */
  readonly gain: number;
  readonly limitedByLoad: boolean;
}

/** Null where no tap of the output was recorded. */
export function gainChain(
  context: PlanContext,
  {
    output,
    feeds,
    setting,
    boostDb,
    direct,
  }: {
    readonly output: Output;
    readonly feeds: readonly Feed[];
    readonly setting: number;
    readonly boostDb: Float64Array;
    readonly direct: boolean;
  },
): GainChain | null {
  const levels = feeds.map(({ taps }) => feedLevel(context, taps, setting)).filter((level) => level !== null);
  if (levels.length === 0) return null;
  const tap = louder(levels);
  const equipment = context.equipment;
  const amplifier = equipment?.amplifiers.find(({ feeds: fed }) => fed.includes(output)) ?? null;
  const converter = direct ? null : (equipment?.converter ?? null);
  const restored = tap.level.map((value, i) => value * 10 ** (boostDb[i] / 20));
  const worst = highestIn(restored, WHOLE_BAND_HZ);
  const lineLimitVolts = lineLimit({ converter, amplifier });
  const wantedGain = lineLimitVolts / worst.level;
  const gain = direct ? 1 : tap.inVolts ? withinRange(wantedGain, converter) : wantedGain;
  const line = restored.map((value) => value * gain);
  const stage =
    amplifier === null ? null : amplifierStage({ equipment: equipment!, amplifier, output, line });
  return {
    output,
    setting,
    tapIds: feeds.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)),
    tapLevel: tap.level,
    inVolts: tap.inVolts,
    relativePlusMinus: tap.relativePlusMinus,
    boostDb,
    hasRestoration: boostDb.some((db) => db > 0.05),
    converter,
    direct,
    gain,
    gainShortDb: direct ? 0 : 20 * Math.log10(wantedGain / gain),
    lineLimitVolts: direct ? (amplifier?.speakerInputLimitVoltsRms ?? worst.level) : lineLimitVolts,
    limitAssumed: !direct && converter === null,
    worstHz: worst.frequencyHz,
    lineVoltsAtWorst: worst.level * gain,
    amplifier,
    stage,
  };
}

/** Volts at the converter's output, restoration off and on. */
export function lineVolts({ tapLevel, gain, boostDb, hasRestoration }: GainChain) {
  const voltsOff = tapLevel.map((value) => value * gain);
  return {
    voltsOff,
    voltsOn: hasRestoration ? voltsOff.map((value, i) => value * 10 ** (boostDb[i] / 20)) : null,
  };
}

/** The converter as hot as it and the amplifier's least sensitive position allow: least hiss (common practice). */
function lineLimit({
  converter,
  amplifier,
}: {
  converter: Converter | null;
  amplifier: Amplifier | null;
}): number {
  const outputLimit = converter?.outputLimitVoltsRms ?? EXAMPLE_LINE_OUTPUT_VOLTS;
  if (amplifier === null) return outputLimit;
  return Math.min(outputLimit, amplifier.sensitivityRangeVoltsRms[1] * 10 ** (amplifier.gainOverlapDb / 20));
}

function withinRange(gain: number, converter: Converter | null): number {
  if (converter === null) return gain;
  const [lowest, highest] = converter.gainRangeDb.map((db) => 10 ** (db / 20));
  return Math.max(lowest, Math.min(highest, gain));
}

function amplifierStage({
  equipment,
  amplifier,
  output,
  line,
}: {
  equipment: Equipment;
  amplifier: Amplifier;
  output: Output;
  line: Float64Array;
}): AmplifierStage {
  const speaker = equipment.speakers.find(({ feeds }) => feeds === output);
  const woofer = output === 'subwoofer' ? equipment.woofer : null;
  const loadOhms = amplifier.loadOhms ?? woofer?.ohms ?? speaker?.ohms ?? amplifier.ratedOhms;
  const loadWatts = woofer?.ratedWatts ?? speaker?.ratedWatts ?? Number.POSITIVE_INFINITY;
  const amplifierVolts = Math.sqrt(amplifier.ratedWatts * amplifier.ratedOhms);
  const loadVolts = Math.sqrt(loadWatts * loadOhms);
  const fullOutputVolts = Math.min(amplifierVolts, loadVolts);
  const atWorst = highestIn(line, AMPLIFIER_BAND_HZ[output]).level;
  const inputForFull = atWorst * 10 ** (-amplifier.gainOverlapDb / 20);
  const gain = fullOutputVolts / inputForFull;
  const sensitivityVolts = amplifierVolts / gain;
  const [most, least] = amplifier.sensitivityRangeVoltsRms;
  return {
    loadOhms,
    fullOutputVolts,
    wattsAtLoad: fullOutputVolts ** 2 / loadOhms,
    sensitivityVolts,
    inRange: sensitivityVolts >= most / IN_RANGE_RATIO && sensitivityVolts <= least * IN_RANGE_RATIO,
    gain,
    limitedByLoad: loadVolts < amplifierVolts,
  };
}

const IN_RANGE_RATIO = 1.01;

function louder(levels: readonly FeedLevel[]): FeedLevel {
  return {
    level: levels[0].level.map((_, i) => Math.max(...levels.map(({ level }) => level[i]))),
    inVolts: levels.every(({ inVolts }) => inVolts),
    relativePlusMinus: Math.max(...levels.map(({ relativePlusMinus }) => relativePlusMinus)),
  };
}

/** Ripple within this is noise of the recordings: the meter tone of the band then stands for its highest point. */
const RIPPLE_DB = 0.1;
const USUAL_HZ = [55, 1000] as const;

function highestIn(level: Float64Array, band: Band): { frequencyHz: number; level: number } {
  const { first, last } = indexRange(band);
  let at = first;
  for (let i = first; i <= last; i++) if (level[i] > level[at]) at = i;
  const usualHz = USUAL_HZ.find((hz) => {
    const apart = 20 * Math.log10(level[at] / valueAt(level, hz));
    return hz >= band[0] && hz <= band[1] && apart <= RIPPLE_DB;
  });
  if (usualHz !== undefined) return { frequencyHz: usualHz, level: valueAt(level, usualHz) };
  return { frequencyHz: gridFrequencyHz[at], level: level[at] };
}
