import type { TakeToRecord } from '../model/check.ts';
import { type Finding, findingsOf } from '../model/finding.ts';
import type { Reason } from '../model/reason.ts';

/** What would tell whether the recorder itself loses bass or clips, where the findings leave that open. */
export function recorderDoubts(findings: readonly Finding[]): TakeToRecord[] {
  const bass = findingsOf(findings, 'band').filter(
    ({ lowEdgeMayBeRecorder }) => lowEdgeMayBeRecorder === true,
  );
  const clips = findingsOf(findings, 'clipping').filter(({ mayBeRecorder }) => mayBeRecorder === true);
  return [...next(bass, { code: 'recorder may lose bass' }), ...next(clips, { code: 'recorder may clip' })];
}

function next(doubted: readonly Finding[], why: Reason): TakeToRecord[] {
  const tapIds = [...new Set(doubted.flatMap((finding) => finding.tapIds))];
  return tapIds.length === 0 ? [] : [{ tapIds, settings: [], why, needed: false }];
}
