import { DB_PER_NEPER, decibelsOfPower, powerRatioOf, ratioOf } from '../../dsp/decibels.ts';
import { modulus } from '../../dsp/modulus.ts';
import { gridSpan, type RangeHz } from '../../model/frequency-grid.ts';
import type { FeedTap } from '../../model/recommendation.ts';
import { FULL_NULL_DB, NOTHING_TO_CANCEL_DB } from './flatness.ts';
import type { Spectrum } from './predict-sum.ts';

export interface ScoredSum {
  readonly taps: readonly FeedTap[];
  /** What decides: lower is better, decibels. */
  readonly costDb: number;
  readonly rmsDb: number;
  /** Highest less lowest. */
  readonly rippleDb: number;
  readonly dipDb: number;
  /** What the worst of its taps costs whatever they add up to, part of `costDb`: a good tap beside it makes it no better. */
  readonly penaltyDb: number;
}

/** A tap that may go into a feed. */
export interface SumCandidate {
  readonly tapId: string;
  readonly spectrum: Spectrum;
  /** Decibels added to the cost when it is used: fade that is lost, bass that it loses at high settings. */
  readonly penaltyDb: number;
}

/** What simplicity is worth against evenness, in decibels of RMS deviation (our choice; the tests show what it does). */
const PER_FURTHER_TAP_DB = 0.1;
const PER_INVERSION_DB = 0.05;
export const PER_DELAY_DB = 0.5;
export const PER_TRIM_DB = 0.2;
/** A deep narrow null is heard less than its depth, but it shows that the taps fight each other. */
const DIP_WEIGHT = 0.5;
/**
 * Level that cancels without a hole costs headroom and noise only: where bands overlap far, it is what keeps the sum even. A hole
 * lies this far under the middle of the sum, or under the strongest of its taps (common practice: heard from here on).
 */
const CANCELLED_WEIGHT = 0.1;
const HOLE_DB = 3;
/** Deviations beyond this count the same: the band is missing. */
const MOST_DEVIATION_DB = 30;

/** The spectrum within the band that is judged, every second point of the grid: 24 an octave show any null. */
export interface Column {
  readonly tapId: string;
  readonly penaltyDb: number;
  readonly frequencyHz: Float64Array;
  readonly real: Float64Array;
  readonly imag: Float64Array;
  readonly magnitude: Float64Array;
}

/** Every other point of the grid (chosen here; speed only). */
const EVERY_POINT = 2;

export interface SumSetting {
  readonly column: Column;
  readonly tap: FeedTap;
}

export function columnOf(
  { tapId, spectrum, penaltyDb }: SumCandidate,
  judgedHz: RangeHz,
  frequencyHz: Float64Array,
): Column {
  const real = thinned(spectrum.real, judgedHz);
  const imag = thinned(spectrum.imag, judgedHz);
  return {
    tapId,
    penaltyDb,
    frequencyHz,
    real,
    imag,
    magnitude: real.map((re, i) => modulus(re, imag[i])),
  };
}

export function thinned(onGrid: Float64Array, judgedHz: RangeHz): Float64Array {
  const { first, last } = gridSpan(judgedHz);
  return onGrid.subarray(first, last + 1).filter((_, i) => i % EVERY_POINT === 0);
}

export function costWithoutDeviations(columns: readonly Column[]): number {
  return PER_FURTHER_TAP_DB * (columns.length - 1) + worstPenaltyDb(columns);
}

function worstPenaltyDb(columns: readonly Column[]): number {
  return columns.reduce((worst, { penaltyDb }) => Math.max(worst, penaltyDb), Number.NEGATIVE_INFINITY);
}

export function score(settings: readonly SumSetting[]): ScoredSum {
  return judge(settings, addUp(settings));
}

export interface Total {
  readonly real: Float64Array;
  readonly imag: Float64Array;
  /** The magnitudes added: the sum if nothing cancelled. */
  readonly aligned: Float64Array;
  /** The magnitude of the strongest. */
  readonly loudest: Float64Array;
  /** Room for the levels while the sum is judged: the search judges thousands. */
  readonly levelDb: Float64Array;
}

/** Cheap, and never above what `judge` answers: what cancels and what there is to set cost this much in an even sum too. */
export function leastCost(settings: readonly SumSetting[], total: Total): number {
  return simplicityCost(settings) - CANCELLED_WEIGHT * mostCancelledDb(total);
}

/** The same in amplitude. */
const NOTHING_TO_CANCEL = ratioOf(NOTHING_TO_CANCEL_DB);

/** The most that cancels anywhere; or in a hole, where the middle of the sum is given, as a power. */
function mostCancelledDb({ real, imag, aligned, loudest }: Total, middlePower?: number): number {
  let strongest = 0;
  for (let i = 0; i < aligned.length; i++) strongest = Math.max(strongest, aligned[i]);
  let most = 1;
  for (let i = 0; i < real.length; i++) {
    if (aligned[i] < strongest * NOTHING_TO_CANCEL) continue;
    const power = real[i] * real[i] + imag[i] * imag[i] + 1e-20;
    const isHole = middlePower === undefined || power < HOLE * Math.max(middlePower, loudest[i] * loudest[i]);
    if (isHole) most = Math.min(most, power / (aligned[i] * aligned[i] + 1e-20));
  }
  return Math.max(FULL_NULL_DB, decibelsOfPower(most));
}

/** The same in power. */
const HOLE = powerRatioOf(-HOLE_DB);

function simplicityCost(settings: readonly SumSetting[]): number {
  let costDb = costWithoutDeviations(settings.map(({ column }) => column));
  for (const { tap } of settings) {
    if (tap.polarity === 'inverted') costDb += PER_INVERSION_DB;
    if (tap.delaySeconds > 0) costDb += PER_DELAY_DB;
    if (tap.trimDb !== 0) costDb += PER_TRIM_DB;
  }
  return costDb;
}

export function judge(settings: readonly SumSetting[], total: Total): ScoredSum {
  const { real, imag, levelDb } = total;
  let highestDb = Number.NEGATIVE_INFINITY;
  let lowestDb = Number.POSITIVE_INFINITY;
  for (let i = 0; i < levelDb.length; i++) {
    const power = real[i] * real[i] + imag[i] * imag[i] + 1e-20;
    levelDb[i] = DB_PER_NEPER_OF_POWER * Math.log(power);
    highestDb = Math.max(highestDb, levelDb[i]);
    lowestDb = Math.min(lowestDb, levelDb[i]);
  }
  const middleDb = meanOfPassBand(levelDb, highestDb);
  let squares = 0;
  for (let i = 0; i < levelDb.length; i++) {
    const deviation = Math.min(MOST_DEVIATION_DB, Math.abs(levelDb[i] - middleDb));
    squares += deviation * deviation;
  }
  const rmsDb = Math.sqrt(squares / levelDb.length);
  const dipDb = mostCancelledDb(total);
  const holeDb = mostCancelledDb(total, powerRatioOf(middleDb));
  const fightingDb = DIP_WEIGHT * holeDb + CANCELLED_WEIGHT * (dipDb - holeDb);
  const costDb = rmsDb - fightingDb + simplicityCost(settings);
  const rippleDb = Math.min(highestDb - lowestDb, -FULL_NULL_DB);
  const penaltyDb = worstPenaltyDb(settings.map(({ column }) => column));
  return { taps: settings.map(({ tap }) => tap), rmsDb, rippleDb, dipDb, penaltyDb, costDb };
}

/** Faster than a logarithm to the base ten, and the search takes thousands of them. */
const DB_PER_NEPER_OF_POWER = DB_PER_NEPER / 2;
/** What lies further down is a null or stop band and does not move the middle. */
const PASS_BAND_DB = 12;

function meanOfPassBand(levelDb: Float64Array, highestDb: number): number {
  let [total, count] = [0, 0];
  for (let i = 0; i < levelDb.length; i++) {
    if (levelDb[i] <= highestDb - PASS_BAND_DB) continue;
    total += levelDb[i];
    count++;
  }
  return total / count;
}

export function addUp(settings: readonly SumSetting[]): Total {
  const total = noTotal(settings[0].column);
  for (const setting of settings) addTo(total, setting, total);
  return total;
}

export function noTotal({ real }: Column): Total {
  const { length } = real;
  return {
    real: new Float64Array(length),
    imag: new Float64Array(length),
    aligned: new Float64Array(length),
    loudest: new Float64Array(length),
    levelDb: new Float64Array(length),
  };
}

/** Adds one more tap to a total; the answer is written into `into`, which may be the same. */
export function addTo(total: Total, { column, tap }: SumSetting, into: Total): Total {
  const gain = ratioOf(tap.trimDb);
  const signed = tap.polarity === 'inverted' ? -gain : gain;
  const { cos, sin } = turnsOf(tap.delaySeconds, column.frequencyHz);
  for (let i = 0; i < into.real.length; i++) {
    const re = signed * column.real[i];
    const im = signed * column.imag[i];
    into.real[i] = total.real[i] + re * cos[i] - im * sin[i];
    into.imag[i] = total.imag[i] + re * sin[i] + im * cos[i];
    into.aligned[i] = total.aligned[i] + gain * column.magnitude[i];
    into.loudest[i] = Math.max(total.loudest[i], gain * column.magnitude[i]);
  }
  return into;
}

interface Turns {
  readonly cos: Float64Array;
  readonly sin: Float64Array;
}

/** The same few hundred delays are tried over and over; kept for each set of frequencies. */
const knownTurns = new WeakMap<Float64Array, Map<number, Turns>>();

function turnsOf(delaySeconds: number, frequencyHz: Float64Array): Turns {
  const known = knownTurns.get(frequencyHz) ?? new Map<number, Turns>();
  knownTurns.set(frequencyHz, known);
  const found = known.get(delaySeconds);
  if (found !== undefined) return found;
  const phase = frequencyHz.map((hz) => -2 * Math.PI * hz * delaySeconds);
  const turns = { cos: phase.map(Math.cos), sin: phase.map(Math.sin) };
  known.set(delaySeconds, turns);
  return turns;
}
