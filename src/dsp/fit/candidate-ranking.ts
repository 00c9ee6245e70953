import { type Candidate, edgesKey } from './candidate.ts';

/** The leaders, and the best without each edge: a shelf may turn out to be what looked like one. */
export function kept(beam: readonly Candidate[], count: number): Candidate[] {
  const without = [beam.find(({ low }) => low === null), beam.find(({ high }) => high === null)];
  return [...new Set([...beam.slice(0, count), ...without.filter((candidate) => candidate !== undefined)])];
}

export function byChiSquare(a: Candidate, b: Candidate): number {
  return a.fit.chiSquare - b.fit.chiSquare;
}

export function bestOf(candidates: readonly Candidate[]): Candidate {
  return candidates.reduce((a, b) => (b.fit.chiSquare < a.fit.chiSquare ? b : a));
}

export function bestOfEachEdges(candidates: readonly Candidate[]): Candidate[] {
  return bestOfEachKey(candidates, edgesKey);
}

/** The best of all that share a key, best first. */
export function bestOfEachKey(
  candidates: readonly Candidate[],
  keyOf: (candidate: Candidate) => string,
): Candidate[] {
  const best = new Map<string, Candidate>();
  for (const candidate of candidates) {
    const key = keyOf(candidate);
    const known = best.get(key);
    if (known === undefined || candidate.fit.chiSquare < known.fit.chiSquare) best.set(key, candidate);
  }
  return [...best.values()].sort(byChiSquare);
}
