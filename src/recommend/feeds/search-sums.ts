import { gridFrequencyHz, gridSpan, type RangeHz } from '../../model/frequency-grid.ts';
import type { FeedTap } from '../../model/recommendation.ts';
import { carriedBand } from './carried-band.ts';
import { flooredDb, magnitudes } from './predict-sum.ts';
import {
  addTo,
  addUp,
  type Column,
  columnOf,
  costWithoutDeviations,
  judge,
  leastCost,
  noTotal,
  PER_DELAY_DB,
  PER_TRIM_DB,
  type ScoredSum,
  type SumCandidate,
  type SumSetting,
  score,
  thinned,
} from './sum-cost.ts';

export interface SumSearch {
  readonly candidates: readonly SumCandidate[];
  readonly wantedHz: RangeHz;
  /** Most inputs that may be added. */
  readonly mostTaps: number;
  /** Trims that the converter can set, decibels; [0] where it cannot. */
  readonly trimsDb: readonly number[];
  readonly maximumDelaySeconds: number;
  readonly delayStepSeconds: number;
  /** How outputs of other feeds are connected: against each other they stay so. */
  readonly known?: ReadonlyMap<string, FeedTap['polarity']>;
  /** Only such sets of taps are looked at (the subwoofer wants both sides or neither). */
  readonly allowed?: (tapIds: readonly string[]) => boolean;
}

/**
 * Every set of taps in every polarity, as they are and with trims and delays improved in turn; best first.
 * The first tap of a set stays as wired: turning all of them over changes nothing in the sum.
 */
export function searchSums(search: SumSearch): ScoredSum[] {
  const columns = columnsOf(search);
  const found: ScoredSum[] = [];
  let lowestCostDb = Number.POSITIVE_INFINITY;
  const keep = (sum: ScoredSum) => {
    found.push(sum);
    lowestCostDb = Math.min(lowestCostDb, sum.costDb);
  };
  for (const members of setsBySize(columns, search)) {
    const inEveryPolarity = polarities(members).filter((settings) => agrees(settings, search.known));
    const plainCosts = inEveryPolarity.map(score);
    plainCosts.forEach(keep);
    // Even a perfect sum would lose against what is there already: trims and delays are not worth trying.
    if (costWithoutDeviations(members) + Math.min(PER_DELAY_DB, PER_TRIM_DB) >= lowestCostDb) continue;
    for (const plain of mostPromising(inEveryPolarity, plainCosts)) {
      const improved = improve(plain, search);
      if (improved !== null) keep(improved);
    }
  }
  return bestFirst(found);
}

/** One sum of the search's taps, judged as the search judges it; null where the search would not look at it. */
export function scoreOf(search: SumSearch, taps: readonly FeedTap[]): ScoredSum | null {
  const columns = columnsOf(search);
  const settings = taps.map((tap): SumSetting => {
    return { tap, column: columns.find(({ tapId }) => tapId === tap.tapId)! };
  });
  const allowed = search.allowed?.(taps.map(({ tapId }) => tapId)) ?? true;
  return allowed && agrees(settings, search.known) ? score(settings) : null;
}

function columnsOf({ candidates, wantedHz }: SumSearch): Column[] {
  const judgedHz = carriedBand(
    candidates.map(({ spectrum }) => flooredDb(magnitudes(spectrum))),
    wantedHz,
  );
  const frequencyHz = frequenciesOf(judgedHz);
  return candidates.map((candidate) => columnOf(candidate, judgedHz, frequencyHz));
}

/** Sums whose ripple differs by less sound alike; every further tap has to be worth as much again (common practice). */
const ALIKE_DB = 0.1;
const PER_TAP_DB = 0.3;

/** Taps that cancel this far leave crosstalk, and that may be even (common practice: radios separate by 40 dB). */
const CANCELLED_DB = -30;

/** By cost; but the first is never less even than a plain sum, of these taps or of others that cost no more. */
function bestFirst(found: readonly ScoredSum[]): ScoredSum[] {
  const byCost = found.toSorted((a, b) => a.costDb - b.costDb);
  const plain = found.filter((sum) => isPlain(sum) && sum.dipDb > CANCELLED_DB);
  const chosen = byCost.findIndex((sum) =>
    plain.every(
      (other) =>
        other.penaltyDb > sum.penaltyDb + ALIKE_DB || sum.rippleDb <= other.rippleDb + worthDb(sum, other),
    ),
  );
  return chosen <= 0 ? byCost : [byCost[chosen], ...byCost.toSpliced(chosen, 1)];
}

function isPlain({ taps }: ScoredSum): boolean {
  return taps.every((tap) => tap.polarity === 'as wired' && tap.trimDb === 0 && tap.delaySeconds === 0);
}

/** How much less even a sum may be than another that has more taps. */
function worthDb(sum: ScoredSum, other: ScoredSum): number {
  return ALIKE_DB + PER_TAP_DB * Math.max(0, other.taps.length - sum.taps.length);
}

/** One list for each band, so that what is worked out for its delays serves every feed of it; the last few are kept. */
const knownFrequencies = new Map<string, Float64Array>();
/** Beyond six taps each sum is worked out anew instead of kept (chosen here; speed only). */
const MOST_KNOWN = 6;

function frequenciesOf(judgedHz: RangeHz): Float64Array {
  const { first, last } = gridSpan(judgedHz);
  const key = `${first} ${last}`;
  const frequencyHz = knownFrequencies.get(key) ?? thinned(gridFrequencyHz, judgedHz);
  knownFrequencies.delete(key);
  knownFrequencies.set(key, frequencyHz);
  for (const oldest of knownFrequencies.keys()) {
    if (knownFrequencies.size <= MOST_KNOWN) break;
    knownFrequencies.delete(oldest);
  }
  return frequencyHz;
}

/**
 * Of three taps and more, the better half of the polarities is worth delays and trims: a delay long enough to mend the
 * others costs more than turning a tap over (brute force in the tests finds nothing better).
 */
function mostPromising(
  polarities: readonly SumSetting[][],
  plain: readonly ScoredSum[],
): readonly SumSetting[][] {
  if (polarities.length <= 2) return polarities;
  return polarities
    .map((settings, i) => ({ settings, costDb: plain[i].costDb }))
    .sort((a, b) => a.costDb - b.costDb)
    .slice(0, polarities.length / 2)
    .map(({ settings }) => settings);
}

/** Sets with few taps first, so that the lowest cost is low when the large sets come. */
function setsBySize(columns: readonly Column[], { mostTaps, allowed }: SumSearch): Column[][] {
  return Array.from({ length: (1 << columns.length) - 1 }, (_, i) =>
    columns.filter((_, bit) => (i + 1) & (1 << bit)),
  )
    .filter((set) => set.length <= mostTaps && (allowed?.(set.map(({ tapId }) => tapId)) ?? true))
    .sort((a, b) => a.length - b.length);
}

function polarities(members: readonly Column[]): SumSetting[][] {
  return Array.from({ length: 1 << (members.length - 1) }, (_, signs) =>
    members.map((column, i): SumSetting => {
      const polarity = i > 0 && signs & (1 << (i - 1)) ? 'inverted' : 'as wired';
      return { column, tap: { tapId: column.tapId, polarity, trimDb: 0, delaySeconds: 0 } };
    }),
  );
}

/** Up to all of them turned over. */
function agrees(settings: readonly SumSetting[], known: SumSearch['known']): boolean {
  const turned = settings.flatMap(({ tap }) => {
    const other = known?.get(tap.tapId);
    return other === undefined ? [] : [other !== tap.polarity];
  });
  return turned.every((one) => one === turned[0]);
}

/** One tap after the other through its delays, then its trims, until nothing gets better. */
function improve(plain: readonly SumSetting[], search: SumSearch): ScoredSum | null {
  const before = score(plain);
  const scratch = noTotal(plain[0].column);
  let settings = plain;
  let best = before;
  for (let last = Number.POSITIVE_INFINITY; plain.length > 1 && best.costDb < last; ) {
    last = best.costDb;
    for (let member = 0; member < plain.length; member++) {
      const rest = addUp(settings.filter((_, i) => i !== member));
      const tryTap = (change: Partial<FeedTap>) => {
        const { column, tap } = settings[member];
        const tried = settings.with(member, { column, tap: { ...tap, ...change } });
        // Earlier than the others is the others later.
        const set = withoutCommonPart(tried);
        if (longestDelay(set) > search.maximumDelaySeconds + 1e-12) return;
        addTo(rest, tried[member], scratch);
        if (leastCost(set, scratch) > best.costDb - 1e-9) return;
        const scored = judge(set, scratch);
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
function withoutCommonPart(settings: readonly SumSetting[]): readonly SumSetting[] {
  const delay = Math.min(...settings.map(({ tap }) => tap.delaySeconds));
  const trim = Math.max(...settings.map(({ tap }) => tap.trimDb));
  return settings.map(({ column, tap }) => ({
    column,
    tap: { ...tap, delaySeconds: tap.delaySeconds - delay, trimDb: tap.trimDb - trim },
  }));
}

function longestDelay(settings: readonly SumSetting[]): number {
  return settings.reduce((longest, { tap }) => Math.max(longest, tap.delaySeconds), 0);
}

/** A twentieth of a millisecond: less than a quarter of a period at 4 kHz, the highest usual corner. */
const COARSE_DELAY_SECONDS = 50e-6;

function coarseDelays({ maximumDelaySeconds, delayStepSeconds }: SumSearch): number[] {
  const every = Math.max(1, Math.round(COARSE_DELAY_SECONDS / delayStepSeconds));
  const steps = Math.floor(maximumDelaySeconds / delayStepSeconds + 1e-9);
  const count = Math.floor(steps / every);
  return Array.from({ length: 2 * count + 1 }, (_, i) => (i - count) * every * delayStepSeconds);
}

function delaysAround(delaySeconds: number, { maximumDelaySeconds, delayStepSeconds }: SumSearch): number[] {
  const reach = Math.max(1, Math.round(COARSE_DELAY_SECONDS / delayStepSeconds));
  const centre = Math.round(delaySeconds / delayStepSeconds);
  return Array.from({ length: 2 * reach + 1 }, (_, i) => (centre + i - reach) * delayStepSeconds).filter(
    (delay) => Math.abs(delay) <= maximumDelaySeconds + 1e-12,
  );
}
