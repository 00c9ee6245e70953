import { type Candidate, candidateRates, edgesKey, edgesOfSide } from './candidate.ts';
import { bestOf, bestOfEachEdges, byChiSquare, kept } from './candidate-ranking.ts';
import { cornerPerMinus3, minus3PerCorner } from './edge-points.ts';
import { COUPLING, COUPLING_START_HZ, proposeTerms } from './eq-atoms.ts';
import type { EdgeShape, TermShape } from './filter-terms.ts';
import { type FitRequest, requestOf, requestWithout } from './fit-request.ts';
import { type LogResponse, reducedChiSquare } from './log-response.ts';
import { FIRST_TERM_PARAMETER, fitResponse } from './response-fit.ts';

/** What the search may assume about where edges are: -3 dB points to start from, null where no edge is plausible. */
export interface SearchStart {
  readonly lowMinus3Hz: number | null;
  readonly highMinus3Hz: number | null;
}

/** Candidates that are carried on when a pair of edges is given terms of its own. */
const OWN_BEAM = 2;
/** Once terms are added, so many of the edges tried on a side are tried at the other processing rates too. */
const RETRIED_AT_ALL_RATES = 4;
/** Candidates of one round that take part in the next. */
export const FINALISTS = 8;
const MOST_EXTRAS = 7;
/**
 * Chi-square that an extra term of three parameters has to take off: 200 places are looked at, so chance alone reaches 14
 * (chi-square of 3 degrees of freedom at 1 - 1/200 of 5 %); 20 leaves a margin.
 */
const EXTRA_TERM_WORTH = 20;
const ROUGH_TOLERANCE = 0.5;
/** With an edge on either side, one that is far off would mislead the search for the other: pairs are tried first. */
const SEED = { kind: 'edge', family: 'butterworth' } as const;
const SEED_ORDERS = [1, 2, 4, 8];
/** A fit that is this many times worse than the best and no longer falls fast is not finished. */
const FAR_WORSE = 8;

/**
 * The search for edges and further terms in one version of the data: what has been tried stays in the archive.
 * `search-model.ts` has the order in which it is used.
 */
export class Search {
  readonly archive: Candidate[] = [];
  readonly data: LogResponse;
  private readonly start: SearchStart;
  private readonly beam: number;
  private best = Number.POSITIVE_INFINITY;

  constructor(data: LogResponse, start: SearchStart, beam: number) {
    this.data = data;
    this.start = start;
    this.beam = beam;
  }

  edgesAlone(): Candidate[] {
    const { lowMinus3Hz, highMinus3Hz } = this.start;
    const orders = lowMinus3Hz === null || highMinus3Hz === null ? [4] : SEED_ORDERS;
    const seeds = (lowMinus3Hz === null ? [null] : orders).flatMap((lowOrder) =>
      (highMinus3Hz === null ? [null] : orders).map((highOrder) =>
        this.fitted({
          low: lowOrder === null ? null : { ...SEED, side: 'high-pass', order: lowOrder },
          high: highOrder === null ? null : { ...SEED, side: 'low-pass', order: highOrder },
          extras: [],
          extraParameters: new Float64Array(0),
          rateHz: 48_000,
          from: null,
        }),
      ),
    );
    return this.edgesAround(seeds, null);
  }

  /** Adds terms as long as each is worth it; the leaders with as many terms as that takes, best first. */
  extended(beam: readonly Candidate[]): Candidate[] {
    let leaders = [...beam];
    while (leaders[0].extras.length < MOST_EXTRAS) {
      const next = this.withOneMore(leaders);
      if (next.length === 0 || !this.worthIt(leaders[0], next[0])) break;
      leaders = next;
    }
    return leaders;
  }

  /** Every other edge on either side with terms of its own, fewer than `best` took, as far as that explains the response. */
  eachExtended(best: Candidate): Candidate[] {
    const pairs = (['low', 'high'] as const)
      .filter((side) => best[side] !== null)
      .flatMap((side) =>
        edgesOfSide(side, null).map((edge) => ({ low: best.low, high: best.high, [side]: edge })),
      );
    const enough = best.fit.chiSquare + EXTRA_TERM_WORTH * Math.max(1, this.reduced(best));
    const found: Candidate[] = [];
    for (const edges of pairs) {
      const bare = { ...requestOf(best), ...edges, extras: [], extraParameters: new Float64Array(0) };
      let beam = [this.fitted({ ...bare, from: best })];
      while (beam[0].fit.chiSquare > enough && beam[0].extras.length + 1 < best.extras.length) {
        const grown = beam.flatMap((candidate) => this.grown(candidate));
        if (grown.length === 0) break;
        const replaced = this.replacements(bestOf(grown));
        beam = [...grown, ...replaced].sort(byChiSquare).slice(0, OWN_BEAM);
      }
      if (beam[0].fit.chiSquare <= enough) found.push(beam[0]);
    }
    return found.sort((a, b) => a.extras.length - b.extras.length || byChiSquare(a, b)).slice(0, FINALISTS);
  }

  /** The best explanation, with more terms where they are worth it and without those that are not. */
  bestExplanation(candidates: readonly Candidate[]): Candidate {
    const refitted = this.refitted(candidates);
    const leader = this.mostWorth(refitted);
    const alike = refitted.filter(({ extras }) => extras.length === leader.extras.length);
    const grown = this.extended([leader, ...alike.filter((candidate) => candidate !== leader)]);
    const best = this.polished(this.mostWorth([leader, ...grown]));
    const rivals = bestOfEachEdges(this.archive).filter(
      (rival) => edgesKey(rival) !== edgesKey(best) && !this.worthIt(rival, best),
    );
    return this.mostWorth(
      [best, ...rivals.slice(0, FINALISTS)].map((rival) => this.thinned(this.polished(rival))),
    );
  }

  /** The same edges behind a coupling capacitor. */
  coupled(candidates: readonly Candidate[]): Candidate[] {
    return candidates
      .map((from) =>
        this.fitted({
          ...requestOf(from),
          extras: [COUPLING],
          extraParameters: Float64Array.of(Math.log(COUPLING_START_HZ)),
          from,
        }),
      )
      .sort(byChiSquare);
  }

  /** The candidate whose terms are worth most. */
  mostWorth(candidates: readonly Candidate[]): Candidate {
    return candidates.reduce((a, b) => (this.worthMore(a, b) ? b : a));
  }

  private refitted(candidates: readonly Candidate[]): Candidate[] {
    const fits = candidates.map((candidate) =>
      this.polished(this.fitted({ ...requestOf(candidate), from: candidate })),
    );
    return fits.sort(byChiSquare);
  }

  /** The candidate without the terms that turned out not to be needed. */
  thinned(candidate: Candidate): Candidate {
    for (let index = 0; index < candidate.extras.length; index++) {
      const without = this.polished(this.fitted({ ...requestWithout(candidate, index), from: candidate }));
      if (!this.worthIt(without, candidate)) return this.thinned(without);
    }
    return candidate;
  }

  reduced({ fit }: Candidate): number {
    return reducedChiSquare(this.data, fit);
  }

  /** The candidate fitted tightly, at whichever rate suits it; far losers are left as they are. */
  polished(candidate: Candidate, against?: Candidate): Candidate {
    if (against !== undefined && candidate.fit.chiSquare > FAR_WORSE * against.fit.chiSquare + 200)
      return candidate;
    const termParameters = candidate.fit.parameters.slice(FIRST_TERM_PARAMETER);
    const fits = candidateRates(candidate).map((sampleRateHz) =>
      fitResponse(this.data, { ...candidate.fit.shape, sampleRateHz }, { termParameters }),
    );
    const polished = fits.map((fit) => ({ ...candidate, fit }));
    this.archive.push(...polished);
    return bestOf(polished);
  }

  private withOneMore(beam: readonly Candidate[]): Candidate[] {
    const grown: Candidate[] = [];
    for (const candidate of kept(beam, this.beam)) grown.push(...this.grown(candidate));
    if (grown.length === 0) return [];
    const best = bestOf(grown);
    const replaced = best.extras.length > 1 ? this.replacements(best) : [];
    return this.edgesAround([...grown, ...replaced], beam);
  }

  /** The candidate with one more term: the most promising peak, shelf, and coupling if it promises as much. */
  private grown(candidate: Candidate): Candidate[] {
    const proposals = proposeTerms(this.data, candidate.fit);
    return proposals
      .filter(
        ({ shape, expectedGain }) =>
          expectedGain > 0.5 * EXTRA_TERM_WORTH &&
          (shape.kind !== 'edge' || expectedGain > 0.5 * proposals[0].expectedGain),
      )
      .map(({ shape, parameters }) =>
        this.fitted({
          ...requestOf(candidate),
          extras: [...candidate.extras, shape],
          extraParameters: Float64Array.of(...requestOf(candidate).extraParameters, ...parameters),
          from: candidate,
        }),
      );
  }

  /** Each term but the newest taken out and the best one put in instead: what was greedily taken first may be wrong. */
  private replacements(candidate: Candidate): Candidate[] {
    return candidate.extras
      .slice(0, -1)
      .flatMap((_, index) =>
        this.grown(this.fitted({ ...requestWithout(candidate, index), from: candidate })),
      );
  }

  /** Whether another explanation is better, what its further terms cost included. */
  private worthMore(before: Candidate, after: Candidate): boolean {
    const scale = Math.max(1, Math.min(this.reduced(before), this.reduced(after)));
    const cost = EXTRA_TERM_WORTH * (after.extras.length - before.extras.length);
    return (before.fit.chiSquare - after.fit.chiSquare) / scale > cost;
  }

  private worthIt(before: Candidate, after: Candidate): boolean {
    const scale = Math.max(1, this.reduced(after));
    return (before.fit.chiSquare - after.fit.chiSquare) / scale > EXTRA_TERM_WORTH;
  }

  /** Tries every edge on the low side, then on the high side, until neither helps. */
  private edgesAround(seeds: readonly Candidate[], before: readonly Candidate[] | null): Candidate[] {
    const all = [...seeds];
    let best = bestOf(all);
    const sides: ('low' | 'high')[] = [];
    if (this.start.lowMinus3Hz !== null) sides.push('low');
    if (this.start.highMinus3Hz !== null) sides.push('high');
    let unchanged = 0;
    for (let turn = 0; unchanged < sides.length && turn < 6; turn++) {
      const side = sides[turn % sides.length];
      all.push(...this.swapped(best, side, before));
      const better = bestOf(all);
      unchanged = better.fit.chiSquare < best.fit.chiSquare - ROUGH_TOLERANCE ? 1 : unchanged + 1;
      best = better;
    }
    return bestOfEachEdges(all);
  }

  private swapped(from: Candidate, side: 'low' | 'high', before: readonly Candidate[] | null): Candidate[] {
    const edges = edgesOfSide(side, before);
    const fit = (edge: EdgeShape | null, rateHz: number | null) =>
      this.fitted({ ...requestOf(from), [side]: edge, rateHz, from });
    const atRate = edges.map((edge) => fit(edge, from.fit.shape.sampleRateHz));
    const otherRates = candidateRates(from).filter((rateHz) => rateHz !== from.fit.shape.sampleRateHz);
    const leaders = before === null ? atRate : bestOfEachEdges(atRate).slice(0, RETRIED_AT_ALL_RATES);
    return [...atRate, ...otherRates.flatMap((rateHz) => leaders.map((leader) => fit(leader[side], rateHz)))];
  }

  private fitted(of: FitRequest): Candidate {
    const terms = [of.low, of.high, ...of.extras].filter((term): term is TermShape => term !== null);
    const termParameters = Float64Array.from([
      ...(of.low === null ? [] : [this.startCorner(of.low, of.from)]),
      ...(of.high === null ? [] : [this.startCorner(of.high, of.from)]),
      ...of.extraParameters,
    ]);
    const fit = fitResponse(
      this.data,
      { sampleRateHz: of.rateHz, terms },
      { termParameters, tolerance: ROUGH_TOLERANCE, giveUpAbove: FAR_WORSE * this.best },
    );
    this.best = Math.min(this.best, fit.chiSquare);
    const candidate = { low: of.low, high: of.high, extras: of.extras, fit };
    this.archive.push(candidate);
    return candidate;
  }

  /** A prototype starts with the -3 dB point read from the response, once there is EQ with that of the one it replaces. */
  private startCorner(edge: EdgeShape, from: Candidate | null): number {
    const low = edge.side === 'high-pass';
    const before = low ? from?.low : from?.high;
    const parameter = low || from?.low === null ? FIRST_TERM_PARAMETER : FIRST_TERM_PARAMETER + 1;
    if (!from || !before || (before !== edge && from.extras.length === 0)) {
      const guessHz = (low ? this.start.lowMinus3Hz : this.start.highMinus3Hz) ?? 1000;
      return Math.log(guessHz * cornerPerMinus3(edge));
    }
    return from.fit.parameters[parameter] + Math.log(minus3PerCorner(before) * cornerPerMinus3(edge));
  }
}
