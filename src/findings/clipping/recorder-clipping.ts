import type { FindingOf } from '../../model/finding.ts';
import { evidenceOf, type TapSeries } from '../tap-series.ts';

/** Settings at which the recorder, not the radio, clipped; null where it never did. */
export function findRecorderClipping({ tap, takes }: TapSeries): FindingOf<'recorder-clipping'> | null {
  const clipped = takes.filter(({ measurement }) => measurement.recorder.clippedRuns > 0);
  if (clipped.length === 0) return null;
  return {
    kind: 'recorder-clipping',
    id: `recorder-clipping:${tap.id}`,
    tapIds: [tap.id],
    evidence: evidenceOf(clipped),
    settings: clipped.map(({ setting }) => setting),
  };
}
