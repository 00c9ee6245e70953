import { ORDERS_OF_FAMILY } from '../filter-prototype.ts';
import { type EdgeShape, parameterCount, type TermShape } from './filter-terms.ts';
import { FIRST_TERM_PARAMETER, type ResponseFit } from './response-fit.ts';

/** One explanation of a response: which edges, which further terms, and how well they fit. */
export interface Candidate {
  readonly low: EdgeShape | null;
  readonly high: EdgeShape | null;
  /** Peaks, shelves and the coupling, after the edges in `fit.shape.terms`. */
  readonly extras: readonly TermShape[];
  readonly fit: ResponseFit;
}

/** The slopes radios offer: 6, 12, 18, 24, 30, 36 and 48 dB per octave. */
const ORDERS = [1, 2, 3, 4, 5, 6, 8];
/** Bessel of order 1 is Butterworth of order 1. */
const PROTOTYPES = (['butterworth', 'linkwitz-riley', 'bessel'] as const).flatMap((family) =>
  ORDERS.filter(
    (order) => ORDERS_OF_FAMILY[family].includes(order) && !(family === 'bessel' && order === 1),
  ).map((order) => ({ family, order })),
);
/** Once the field is known, so many of its leaders are tried again beside every new term. */
const PROTOTYPES_RETRIED = 13;

/** The edges worth trying on a side: all prototypes and none, or the leaders of an earlier round. */
export function edgesOfSide(side: 'low' | 'high', before: readonly Candidate[] | null): (EdgeShape | null)[] {
  if (before === null) {
    const filterSide = side === 'low' ? 'high-pass' : 'low-pass';
    return [
      null,
      ...PROTOTYPES.map(
        (prototype) => ({ kind: 'edge' as const, side: filterSide, ...prototype }) as EdgeShape,
      ),
    ];
  }
  const distinct = new Map<string, EdgeShape | null>();
  for (const candidate of before) {
    if (distinct.size < PROTOTYPES_RETRIED) distinct.set(nameOf(candidate[side]), candidate[side]);
  }
  return [...new Set([null, ...distinct.values()])];
}

/** Processors run at the player's or at the studio rate, some at twice that; null is an analogue filter. */
const RATES_HZ = [48_000, 44_100, 96_000, null] as const;
/** Below this a filter looks the same at every rate. */
const RATE_MATTERS_LN_HZ = Math.log(500);

/** Rates that make a difference to a candidate's terms. */
export function candidateRates({ fit }: Candidate): readonly (number | null)[] {
  return highestTermLnHz(fit) > RATE_MATTERS_LN_HZ ? RATES_HZ : [fit.shape.sampleRateHz];
}

function highestTermLnHz({ shape, parameters }: ResponseFit): number {
  let at = FIRST_TERM_PARAMETER;
  let highest = Number.NEGATIVE_INFINITY;
  for (const term of shape.terms) {
    highest = Math.max(highest, parameters[at]);
    at += parameterCount(term);
  }
  return highest;
}

/** Index of the first parameter after those of the edges. */
export function extraOffset({ low, high }: Pick<Candidate, 'low' | 'high'>): number {
  return FIRST_TERM_PARAMETER + (low === null ? 0 : 1) + (high === null ? 0 : 1);
}

export function edgesKey({ low, high }: Candidate): string {
  return `${nameOf(low)} / ${nameOf(high)}`;
}

export function edgesAndRateKey(candidate: Candidate): string {
  return `${edgesKey(candidate)} at ${candidate.fit.shape.sampleRateHz}`;
}

function nameOf(edge: EdgeShape | null): string {
  return edge === null ? 'none' : `${edge.family} ${edge.order}`;
}
