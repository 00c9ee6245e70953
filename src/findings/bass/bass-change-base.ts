import type { Doubt } from '../../model/doubt.ts';
import type { FindingOf } from '../../model/finding.ts';
import type { Reason } from '../../model/reason.ts';
import { evidenceOf, type TapSeries } from '../tap-series.ts';
import type { LeftOut } from './bass-levels.ts';

type BassChange = FindingOf<'bass-change'>;

export function notKnown(of: {
  series: TapSeries;
  reason: Reason;
  recordNext: number | null;
  leftOut: readonly LeftOut[];
}): BassChange {
  return {
    ...bassChangeBase(of.series, of.leftOut),
    verdict: 'cannot be told',
    reason: of.reason,
    plateauSettings: [],
    changes: [],
    onset: null,
    shape: null,
    recordNext: of.recordNext,
  };
}

/** What every answer about a tap's bass begins with. */
export function bassChangeBase({ tap, takes }: TapSeries, leftOut: readonly LeftOut[]) {
  const doubts = leftOut.map(
    ({ setting, reason }): Doubt => ({ kind: 'take', reason, tapIds: [tap.id], settings: [setting] }),
  );
  return {
    kind: 'bass-change' as const,
    id: `bass-change:${tap.id}`,
    tapIds: [tap.id],
    evidence: evidenceOf(takes),
    ...(doubts.length === 0 ? {} : { doubts }),
  };
}
