import type { Candidate } from '../../dsp/fit/candidate.ts';
import type { FindingOf } from '../../model/finding.ts';
import { allEvidence } from '../tap-series.ts';
import { bandEdge, edgeDoubt, isGuess } from './band-edge.ts';
import { eqOf } from './fitted-eq.ts';
import { type FittedTap, isFitted, type UnfittedTap } from './fitted-tap.ts';

type BandFinding = FindingOf<'band'>;

/** Smaller peaks are not worth undoing. */
const LEAST_EQ_DB = 0.5;

/**
 * Where a tap's band ends, with what slope and by which filter. A tap is band-limited where its response is explained by
 * a filter that keeps falling, and by nothing less; a shelf, a peak or the recorder's coupling is no band limit.
 */
export function findBand(tap: FittedTap | UnfittedTap): BandFinding {
  const base = {
    kind: 'band' as const,
    id: `band:${tap.tapId}`,
    tapIds: [tap.tapId],
    evidence: evidenceOf(tap),
  };
  if (!isFitted(tap)) {
    return {
      ...base,
      verdict: 'cannot be told',
      reason: tap.reason,
      lowEdge: null,
      highEdge: null,
      fixedEq: [],
    };
  }
  const lowEdge = bandEdge(tap, 'low');
  const highEdge = bandEdge(tap, 'high');
  const doubts = [
    lowEdge === null ? edgeDoubt(tap, 'low') : null,
    highEdge === null ? edgeDoubt(tap, 'high') : null,
  ].filter((doubt) => doubt !== null);
  const limited = lowEdge !== null || highEdge !== null;
  return {
    ...base,
    verdict: limited ? 'band-limited' : doubts.length > 0 ? 'cannot be told' : 'full range',
    reason: doubts.length === 0 ? null : { code: 'ends in doubt', ends: doubts },
    lowEdge,
    highEdge,
    fixedEq: isGuess(tap) ? [] : fixedEq(tap.best),
    ...(isGuess(tap) ? { fixedEqReason: { code: 'EQ not told from the fit' } as const } : {}),
  };
}

function evidenceOf(tap: FittedTap | UnfittedTap) {
  return allEvidence(
    isFitted(tap) ? tap.average.takes.map(({ measurement }) => measurement) : tap.measurements,
  );
}

function fixedEq(candidate: Candidate): BandFinding['fixedEq'] {
  return eqOf(candidate)
    .filter(({ kind, gainDb }) => kind === 'peak' && Math.abs(gainDb) >= LEAST_EQ_DB)
    .map(({ frequencyHz, gainDb, q }) => ({ frequencyHz, gainDb, q }));
}
