import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { FeedTap } from '../model/recommendation.ts';
import { type Band, FULL_NULL_DB, indexRange, middleLevelDb } from './flatness.ts';
import type { Spectrum } from './predict-sum.ts';

/** A tap that may go into a feed. */
export interface SumCandidate {
  readonly tapId: string;
  readonly spectrum: Spectrum;
  /** Decibels added to the cost when it is used: fade that is lost, bass that it loses at high settings. */
  readonly penaltyDb: number;
}

export interface SumSearch {
  readonly candidates: readonly SumCandidate[];
  readonly wantedHz: Band;
  /** Most inputs that may be added. */
  readonly mostTaps: number;
  /** Trims that the converter can set, decibels; [0] where it cannot. */
  readonly trimsDb: readonly number[];
  readonly maximumDelaySeconds: number;
  readonly delayStepSeconds: number;
  /** Only such sets of taps are looked at (the subwoofer wants both sides or neither). */
  readonly allowed?: (tapIds: readonly string[]) => boolean;
}

export interface ScoredSum {
  readonly taps: readonly FeedTap[];
  /** What decides: lower is better, decibels. */
  readonly costDb: number;
  readonly rmsDb: number;
  readonly dipDb: number;
}

/** What simplicity is worth against evenness, in decibels of RMS deviation (our choice; the tests show what it does). */
const PER_FURTHER_TAP_DB = 0.1;
const PER_INVERSION_DB = 0.05;
const PER_DELAY_DB = 0.5;
const PER_TRIM_DB = 0.2;
/** A deep narrow null is heard less than its depth, but it shows that the taps fight each other. */
const DIP_WEIGHT = 0.5;
/** Deviations beyond this count the same: the band is missing. */
const MOST_DEVIATION_DB = 30;

/**
 * Every set of taps in every polarity, as they are and with trims and delays improved in turn; best first.
 * The first tap of a set stays as wired: turning all of them over changes nothing in the sum.
 */
export function searchSums(search: SumSearch): ScoredSum[] {
  const columns = search.candidates.map((candidate) => columnOf(candidate, search.wantedHz));
  const found: ScoredSum[] = [];
  let lowestCostDb = Number.POSITIVE_INFINITY;
  const keep = (sum: ScoredSum) => {
    found.push(sum);
    lowestCostDb = Math.min(lowestCostDb, sum.costDb);
  };
  for (const members of setsBySize(columns, search)) {
    const inEveryPolarity = polarities(members);
    for (const plain of inEveryPolarity) keep(score(plain));
    // Even a perfect sum would lose against what is there already: trims and delays are not worth trying.
    if (costWithoutDeviations(members) + Math.min(PER_DELAY_DB, PER_TRIM_DB) >= lowestCostDb) continue;
    for (const plain of inEveryPolarity) {
      const improved = improve(plain, search);
      if (improved !== null) keep(improved);
    }
  }
  return found.sort((a, b) => a.costDb - b.costDb);
}

/** The spectrum within the wanted band. */
interface Column {
  readonly tapId: string;
  readonly penaltyDb: number;
  readonly frequencyHz: Float64Array;
  readonly real: Float64Array;
  readonly imag: Float64Array;
}

interface Setting {
  readonly column: Column;
  readonly tap: FeedTap;
}

function columnOf({ tapId, spectrum, penaltyDb }: SumCandidate, wantedHz: Band): Column {
  const { first, last } = indexRange(wantedHz);
  return {
    tapId,
    penaltyDb,
    frequencyHz: gridFrequencyHz.subarray(first, last + 1),
    real: spectrum.real.subarray(first, last + 1),
    imag: spectrum.imag.subarray(first, last + 1),
  };
}

/** Sets with few taps first, so that the lowest cost is low when the large sets come. */
function setsBySize(columns: readonly Column[], { mostTaps, allowed }: SumSearch): Column[][] {
  return Array.from({ length: (1 << columns.length) - 1 }, (_, i) =>
    columns.filter((_, bit) => (i + 1) & (1 << bit)),
  )
    .filter((set) => set.length <= mostTaps && (allowed?.(set.map(({ tapId }) => tapId)) ?? true))
    .sort((a, b) => a.length - b.length);
}

function polarities(members: readonly Column[]): Setting[][] {
  return Array.from({ length: 1 << (members.length - 1) }, (_, signs) =>
    members.map((column, i): Setting => {
      const polarity = i > 0 && signs & (1 << (i - 1)) ? 'inverted' : 'as wired';
      return { column, tap: { tapId: column.tapId, polarity, trimDb: 0, delaySeconds: 0 } };
    }),
  );
}

/** One tap after the other through its delays, then its trims, until nothing gets better. */
function improve(plain: readonly Setting[], search: SumSearch): ScoredSum | null {
  const before = score(plain);
  let settings = plain;
  let best = before;
  const tryTap = (member: number, change: Partial<FeedTap>) => {
    const { column, tap } = settings[member];
    const tried = settings.with(member, { column, tap: { ...tap, ...change } });
    const scored = score(tried);
    if (scored.costDb > best.costDb - 1e-9) return;
    best = scored;
    settings = tried;
  };
  for (let last = Number.POSITIVE_INFINITY; best.costDb < last; ) {
    last = best.costDb;
    for (let member = 0; plain.length > 1 && member < plain.length; member++) {
      for (const delaySeconds of coarseDelays(search)) tryTap(member, { delaySeconds });
      for (const delaySeconds of delaysAround(settings[member].tap.delaySeconds, search))
        tryTap(member, { delaySeconds });
      for (const trimDb of search.trimsDb) tryTap(member, { trimDb });
    }
  }
  return best.costDb < before.costDb ? best : null;
}

/** A twentieth of a millisecond: less than a quarter of a period at 4 kHz, the highest usual corner. */
const COARSE_DELAY_SECONDS = 50e-6;

function coarseDelays({ maximumDelaySeconds, delayStepSeconds }: SumSearch): number[] {
  const every = Math.max(1, Math.round(COARSE_DELAY_SECONDS / delayStepSeconds));
  const steps = Math.floor(maximumDelaySeconds / delayStepSeconds + 1e-9);
  return Array.from({ length: Math.floor(steps / every) + 1 }, (_, i) => i * every * delayStepSeconds);
}

function delaysAround(delaySeconds: number, { maximumDelaySeconds, delayStepSeconds }: SumSearch): number[] {
  const reach = Math.max(1, Math.round(COARSE_DELAY_SECONDS / delayStepSeconds));
  const centre = Math.round(delaySeconds / delayStepSeconds);
  return Array.from({ length: 2 * reach + 1 }, (_, i) => (centre + i - reach) * delayStepSeconds).filter(
    (delay) => delay >= 0 && delay <= maximumDelaySeconds + 1e-12,
  );
}

function costWithoutDeviations(columns: readonly Column[]): number {
  const penalty = columns.reduce((total, { penaltyDb }) => total + penaltyDb, 0) / columns.length;
  return PER_FURTHER_TAP_DB * (columns.length - 1) + penalty;
}

function score(settings: readonly Setting[]): ScoredSum {
  const { sumDb, alignedDb } = addUp(settings);
  const middleDb = middleLevelDb(sumDb, { first: 0, last: sumDb.length - 1 });
  let squares = 0;
  let dipDb = 0;
  for (let i = 0; i < sumDb.length; i++) {
    const deviation = Math.max(-MOST_DEVIATION_DB, Math.min(MOST_DEVIATION_DB, sumDb[i] - middleDb));
    squares += deviation * deviation;
    dipDb = Math.min(dipDb, sumDb[i] - alignedDb[i]);
  }
  dipDb = Math.max(FULL_NULL_DB, dipDb);
  const rmsDb = Math.sqrt(squares / sumDb.length);
  const taps = settings.map(({ tap }) => tap);
  const simplicity =
    costWithoutDeviations(settings.map(({ column }) => column)) +
    PER_INVERSION_DB * taps.filter(({ polarity }) => polarity === 'inverted').length +
    PER_DELAY_DB * taps.filter(({ delaySeconds }) => delaySeconds > 0).length +
    PER_TRIM_DB * taps.filter(({ trimDb }) => trimDb !== 0).length;
  return { taps, rmsDb, dipDb, costDb: rmsDb - DIP_WEIGHT * dipDb + simplicity };
}

function addUp(settings: readonly Setting[]): { sumDb: Float64Array; alignedDb: Float64Array } {
  const { frequencyHz } = settings[0].column;
  const real = new Float64Array(frequencyHz.length);
  const imag = new Float64Array(frequencyHz.length);
  const aligned = new Float64Array(frequencyHz.length);
  for (const { column, tap } of settings) {
    const gain = 10 ** (tap.trimDb / 20);
    const signed = tap.polarity === 'inverted' ? -gain : gain;
    for (let i = 0; i < real.length; i++) {
      const phase = -2 * Math.PI * frequencyHz[i] * tap.delaySeconds;
      const cos = tap.delaySeconds === 0 ? signed : signed * Math.cos(phase);
      const sin = tap.delaySeconds === 0 ? 0 : signed * Math.sin(phase);
      real[i] += column.real[i] * cos - column.imag[i] * sin;
      imag[i] += column.real[i] * sin + column.imag[i] * cos;
      aligned[i] += gain * Math.sqrt(column.real[i] ** 2 + column.imag[i] ** 2);
    }
  }
  return {
    sumDb: real.map((re, i) => 10 * Math.log10(re * re + imag[i] * imag[i] + 1e-20)),
    alignedDb: aligned.map((sum) => 20 * Math.log10(sum + 1e-10)),
  };
}
