import { type Candidate, extraOffset } from '../../dsp/fit/candidate.ts';
import { parameterCount } from '../../dsp/fit/filter-terms.ts';

interface FittedEq {
  readonly kind: 'peak' | 'shelf';
  readonly frequencyHz: number;
  readonly gainDb: number;
  readonly q: number;
}

/** Peaks and shelves of a fit, in the order in which they were found. */
export function eqOf(candidate: Candidate): FittedEq[] {
  const { parameters } = candidate.fit;
  let at = extraOffset(candidate);
  return candidate.extras.flatMap((extra) => {
    const [lnHz, gainDb, lnQ] = parameters.subarray(at, at + 3);
    at += parameterCount(extra);
    return extra.kind === 'edge'
      ? []
      : [{ kind: extra.kind, frequencyHz: Math.exp(lnHz), gainDb, q: Math.exp(lnQ) }];
  });
}
