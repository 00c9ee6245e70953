import type { Check } from '../model/check.ts';
import { type Finding, findingsOf } from '../model/finding.ts';

/** What would tell whether the recorder itself loses bass or clips, where the findings leave that open. */
export function recorderDoubts(findings: readonly Finding[]): Check['recordNext'] {
  const bass = findingsOf(findings, 'band').filter(
    ({ lowEdgeMayBeRecorder }) => lowEdgeMayBeRecorder === true,
  );
  const clips = findingsOf(findings, 'clipping').filter(({ mayBeRecorder }) => mayBeRecorder === true);
  return [
    ...next(
      bass,
      'the lowest bass falls alike at every tap and setting, which may be the recorder’s own input: a loop take, the player straight into the same pad, adapter and recorder',
    ),
    ...next(
      clips,
      'it clips just below the recorder’s full scale at every tap that clips, which may be the recorder’s own input: the setting that clips once more with a larger pad, as a session of its own',
    ),
  ];
}

function next(doubted: readonly Finding[], why: string): Check['recordNext'] {
  const tapIds = [...new Set(doubted.flatMap((finding) => finding.tapIds))];
  return tapIds.length === 0 ? [] : [{ tapIds, settings: [], why, needed: false }];
}
