import { ratioOf } from '../dsp/decibels.ts';
import { type Random, seededRandom } from '../dsp/random.ts';
import { chance, logarithmic, pick } from './draw.ts';
import { randomTapInputs } from './random-taps.ts';
import { resolveScenario } from './read-scenario.ts';
import type { Scenario, ScenarioInput, TapInput } from './scenario.ts';
import { madeUnusual, UNUSUAL_KINDS, type UnusualKind } from './unusual-radio.ts';

/** A factory system drawn by lot. */
export interface RandomFactory {
  readonly seed: number;
  /** Full range, with or without a fixed tone control, clean up to full scale: every claim of a fault is a false one. */
  readonly nothingToFind: boolean;
  /** Full-scale sine against white noise to 24 kHz, at every tap and setting. */
  readonly snrDb: number;
  readonly scenario: Scenario;
  /** What else was put into it; null where nothing was. */
  readonly unusual: UnusualKind | null;
}

/** Every third system has nothing to find. */
const NOTHING_EVERY = 3;
/** Noise from a poor bench to a good one; three of five systems are at 50 dB or better, where goals are stated. */
const NOISY_SNR_DB = [20, 50] as const;
const CLEAN_SNR_DB = [50, 70] as const;
const CLEAN_PART = 0.6;
/** A bridged stage loses one to two volts of its supply (common practice). */
const SUPPLY_VOLTS = 14.4;
const RAIL_VOLTS_PEAK = [12.2, 13.3] as const;
const SETTINGS = 5;

/** Rich radios mostly reach their rail. */
const OVER_RAIL_DB = { drawn: [-10, 8], rich: [0, 8] } as const;

/** A stream of its own, apart from those of files, dither and noise. */
const FACTORY_STREAM = 9;
const SKEW_STREAM = 10;
const UNUSUAL_STREAM = 11;
/** Inputs of one recorder sample a few thousandths of a sample apart (from memory); standard deviation. */
const CHANNEL_SKEW_MICROSECONDS = 0.035;

/**
 * A system of two or three taps and five settings: crossovers of every family and of 6, 12, 18, 24 and 48 dB an octave, fixed
 * EQ, shelves and high-passes that follow the volume, loudness, limiters, delays, inversions, clip points on both sides of
 * the filters, noise, clocks and the recorder's coupling. The same seed gives the same system.
 *
 * @param unusual with one of UNUSUAL_KINDS in it, in turn
 * @param rich only what few radios have: limiters, split bands, loudness more often, rails; at 50 dB or better
 */
export function randomFactory(seed: number, { rich = false, unusual = false } = {}): RandomFactory {
  const random = seededRandom(seed, FACTORY_STREAM);
  const nothingToFind = !rich && seed % NOTHING_EVERY === 0;
  const snrDb = random.between(rich || chance(random, CLEAN_PART) ? CLEAN_SNR_DB : NOISY_SNR_DB);
  const settings = randomSettings(random);
  const power = nothingToFind ? unclipped(random, settings) : powerStage(random, settings, rich);
  const { topVoltsRms } = power;
  const taps = randomTapInputs({ random, settings, nothingToFind, rich, topVoltsRms });
  const input: ScenarioInput = {
    name: `random ${rich ? 'rich ' : ''}factory ${seed}`,
    seed,
    playerRateHz: pick(random, [44_100, 48_000] as const),
    settings,
    everyTap: { ...power.tap, noise: { snrDb } },
    taps,
    recorder: { ...randomRecorder(random), channelSkewMicroseconds: channelSkews(seed, taps.length) },
    files: randomFiles(random),
    supply: { volts: SUPPLY_VOLTS, engineRunning: true },
  };
  const kind = unusual ? UNUSUAL_KINDS[seed % UNUSUAL_KINDS.length] : null;
  const of = { random: seededRandom(seed, UNUSUAL_STREAM), settings, topVoltsRms };
  return {
    seed,
    nothingToFind: nothingToFind && kind === null,
    snrDb,
    scenario: resolveScenario(kind === null ? input : madeUnusual(input, { ...of, kind })),
    unusual: kind,
  };
}

function randomSettings(random: Random): number[] {
  const settings = [8 + Math.floor(random.uniform() * 7)];
  while (settings.length < SETTINGS) {
    settings.push(settings[settings.length - 1] + 2 + Math.floor(random.uniform() * 4));
  }
  return settings;
}

interface Power {
  readonly topVoltsRms: number;
  readonly tap: TapInput;
}

/** Even the most boosted tone stays clear of the rail. */
function unclipped(random: Random, settings: readonly number[]): Power {
  const railVoltsPeak = random.between(RAIL_VOLTS_PEAK);
  return volumeControl(random, settings, { railVoltsPeak, overRailDb: random.between([-24, -13]) });
}

/** Some systems clip below their highest setting, some never. */
function powerStage(random: Random, settings: readonly number[], rich: boolean): Power {
  const railVoltsPeak = random.between(RAIL_VOLTS_PEAK);
  const overRailDb = random.between(rich ? OVER_RAIL_DB.rich : OVER_RAIL_DB.drawn);
  const power = volumeControl(random, settings, { railVoltsPeak, overRailDb });
  const clipBeforeDbFs = chance(random, 0.25) ? random.between([-9, -1]) : null;
  return { ...power, tap: { ...power.tap, clipBeforeDbFs } };
}

function volumeControl(
  random: Random,
  settings: readonly number[],
  { railVoltsPeak, overRailDb }: { railVoltsPeak: number; overRailDb: number },
): Power {
  const topVoltsRms = (railVoltsPeak / Math.SQRT2) * ratioOf(overRailDb);
  const volume = {
    atSetting: settings[settings.length - 1],
    voltsRms: topVoltsRms,
    dbPerStep: random.between([0.7, 1.5]),
  };
  return { topVoltsRms, tap: { volume, railVoltsPeak } };
}

function randomRecorder(random: Random): ScenarioInput['recorder'] {
  return {
    sampleRateHz: pick(random, [44_100, 48_000, 48_000, 96_000] as const),
    clockPpm: random.between([-150, 150]),
    couplingHz: chance(random, 0.5) ? logarithmic(random, [0.5, 10]) : null,
  };
}

/** Drawn from a stream of its own, so that the rest of a system stays what it was before skews were drawn. */
function channelSkews(seed: number, count: number): number[] {
  const random = seededRandom(seed, SKEW_STREAM);
  return Array.from({ length: count }, () => CHANNEL_SKEW_MICROSECONDS * random.gaussian());
}

function randomFiles(random: Random): ScenarioInput['files'] {
  return {
    kind: pick(random, ['per setting', 'per setting', 'per setting', 'per pair', 'one long file'] as const),
    loop: chance(random, 0.25),
    shorted: chance(random, 0.25),
  };
}
