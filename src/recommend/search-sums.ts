import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { FeedTap } from '../model/recommendation.ts';
import { type Band, FULL_NULL_DB, indexRange } from './flatness.ts';
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
  const frequencyHz = thinned(gridFrequencyHz, search.wantedHz);
  const columns = search.candidates.map((candidate) => columnOf(candidate, search.wantedHz, frequencyHz));
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

/** The spectrum within the wanted band, every second point of the grid: 24 an octave show any null. */
interface Column {
  readonly tapId: string;
  readonly penaltyDb: number;
  readonly frequencyHz: Float64Array;
  readonly real: Float64Array;
  readonly imag: Float64Array;
  readonly magnitude: Float64Array;
}

const EVERY_POINT = 2;

interface Setting {
  readonly column: Column;
  readonly tap: FeedTap;
}

function columnOf(
  { tapId, spectrum, penaltyDb }: SumCandidate,
  wantedHz: Band,
  frequencyHz: Float64Array,
): Column {
  const real = thinned(spectrum.real, wantedHz);
  const imag = thinned(spectrum.imag, wantedHz);
  return {
    tapId,
    penaltyDb,
    frequencyHz,
    real,
    imag,
    magnitude: real.map((re, i) => Math.hypot(re, imag[i])),
  };
}

function thinned(onGrid: Float64Array, wantedHz: Band): Float64Array {
  const { first, last } = indexRange(wantedHz);
  return onGrid.subarray(first, last + 1).filter((_, i) => i % EVERY_POINT === 0);
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
  for (let last = Number.POSITIVE_INFINITY; plain.length > 1 && best.costDb < last; ) {
    last = best.costDb;
    for (let member = 0; member < plain.length; member++) {
      const rest = addUp(settings.filter((_, i) => i !== member));
      const tryTap = (change: Partial<FeedTap>) => {
        const { column, tap } = settings[member];
        const tried = settings.with(member, { column, tap: { ...tap, ...change } });
        const scored = judge(tried, addTo(rest, tried[member]));
        if (scored.costDb > best.costDb - 1e-9) return;
        best = scored;
        settings = tried;
      };
      for (const delaySeconds of coarseDelays(search)) tryTap({ delaySeconds });
      for (const delaySeconds of delaysAround(settings[member].tap.delaySeconds, search))
        tryTap({ delaySeconds });
      for (const trimDb of search.trimsDb) tryTap({ trimDb });
    }
    settings = withoutCommonPart(settings);
    best = score(settings);
  }
  return best.costDb < before.costDb ? best : null;
}

/** Delays and trims that all taps share change nothing in the sum. */
function withoutCommonPart(settings: readonly Setting[]): readonly Setting[] {
  const delay = Math.min(...settings.map(({ tap }) => tap.delaySeconds));
  const trim = Math.max(...settings.map(({ tap }) => tap.trimDb));
  return settings.map(({ column, tap }) => ({
    column,
    tap: { ...tap, delaySeconds: tap.delaySeconds - delay, trimDb: tap.trimDb - trim },
  }));
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
  return judge(settings, addUp(settings));
}

interface Total {
  readonly real: Float64Array;
  readonly imag: Float64Array;
  /** The magnitudes added: the sum if nothing cancelled. */
  readonly aligned: Float64Array;
}

function judge(settings: readonly Setting[], { real, imag, aligned }: Total): ScoredSum {
  const levelDb = new Float64Array(real.length);
  let highestDb = Number.NEGATIVE_INFINITY;
  let deepest = 1;
  for (let i = 0; i < levelDb.length; i++) {
    const power = real[i] * real[i] + imag[i] * imag[i] + 1e-20;
    levelDb[i] = DB_PER_NEPER_OF_POWER * Math.log(power);
    highestDb = Math.max(highestDb, levelDb[i]);
    deepest = Math.min(deepest, power / (aligned[i] * aligned[i] + 1e-20));
  }
  const middleDb = meanOfPassBand(levelDb, highestDb);
  let squares = 0;
  for (let i = 0; i < levelDb.length; i++) {
    const deviation = Math.min(MOST_DEVIATION_DB, Math.abs(levelDb[i] - middleDb));
    squares += deviation * deviation;
  }
  const rmsDb = Math.sqrt(squares / levelDb.length);
  const dipDb = Math.max(FULL_NULL_DB, 10 * Math.log10(deepest));
  const taps = settings.map(({ tap }) => tap);
  const simplicity =
    costWithoutDeviations(settings.map(({ column }) => column)) +
    PER_INVERSION_DB * taps.filter(({ polarity }) => polarity === 'inverted').length +
    PER_DELAY_DB * taps.filter(({ delaySeconds }) => delaySeconds > 0).length +
    PER_TRIM_DB * taps.filter(({ trimDb }) => trimDb !== 0).length;
  return { taps, rmsDb, dipDb, costDb: rmsDb - DIP_WEIGHT * dipDb + simplicity };
}

/** Faster than a logarithm to the base ten, and the search takes thousands of them. */
const DB_PER_NEPER_OF_POWER = 10 / Math.LN10;
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

function addUp(settings: readonly Setting[]): Total {
  const points = settings[0].column.real.length;
  const nothing = {
    real: new Float64Array(points),
    imag: new Float64Array(points),
    aligned: new Float64Array(points),
  };
  return settings.reduce<Total>(addTo, nothing);
}

function addTo(total: Total, { column, tap }: Setting): Total {
  const gain = 10 ** (tap.trimDb / 20);
  const signed = tap.polarity === 'inverted' ? -gain : gain;
  const turn = turnsOf(tap.delaySeconds, column.frequencyHz);
  const real = new Float64Array(total.real.length);
  const imag = new Float64Array(total.real.length);
  const aligned = new Float64Array(total.real.length);
  for (let i = 0; i < real.length; i++) {
    const re = signed * column.real[i];
    const im = signed * column.imag[i];
    real[i] = total.real[i] + re * turn.cos[i] - im * turn.sin[i];
    imag[i] = total.imag[i] + re * turn.sin[i] + im * turn.cos[i];
    aligned[i] = total.aligned[i] + gain * column.magnitude[i];
  }
  return { real, imag, aligned };
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
