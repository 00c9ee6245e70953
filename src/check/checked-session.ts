import type { Sound } from '../audio/sound.ts';
import { releaseLargeKernelMemory } from '../dsp/kernels/kernel-arrays.ts';
import { findAll } from '../findings/find-all.ts';
import { findOtherSources } from '../findings/source/other-source.ts';
import { oddSettingDoubts } from '../findings/withheld/odd-settings.ts';
import { measureNoiseTakes } from '../measure/disturbances/noise-takes.ts';
import { type MeasuredSession, measureSession, type ReadAhead } from '../measure/measure-session.ts';
import { measureOtherSources } from '../measure/other-sources.ts';
import type { Check } from '../model/check.ts';
import type { Finding } from '../model/finding.ts';
import type { Session } from '../model/session.ts';
import { checkSession } from './check-session.ts';

export interface CheckedSession {
  /** With the notes on noise takes and on takes from other sources. */
  readonly measured: MeasuredSession;
  readonly findings: readonly Finding[];
  readonly check: Check;
}

/**
 * The recordings of a session measured, what they say, and whether they are enough: the one way that `check` and `analyse`
 * go, so that they cannot disagree.
 *
 * @param open opens a recording by the name that the session gives it
 * @throws SteptoneError 'no-recordings' where none can be used, or what is wrong with the only one
 */
export function checkedSession(of: {
  session: Session;
  open: (file: string) => Sound;
  ahead?: ReadAhead | undefined;
  onProgress?: ((done: number, total: number, what: string) => void) | undefined;
}): CheckedSession {
  const { session, open, onProgress } = of;
  const takes = measureSession(of);
  const noise = measureNoiseTakes({ session, open });
  const others = measureOtherSources({ session, open, recorder: of.ahead?.recorder });
  const odd = oddSettingDoubts({ session, measurements: takes.measurements, doubts: takes.doubts });
  const measured = {
    ...takes,
    notes: [...takes.notes, ...noise.notes, ...others.notes],
    doubts: [...takes.doubts, ...odd],
  };
  releaseLargeKernelMemory();
  onProgress?.(1, 1, 'findings');
  const found = findAll({
    session,
    measurements: takes.measurements,
    noiseTakes: noise.takes,
    doubts: takes.doubts,
  });
  const own = { ...measured, source: session.source, findings: found };
  const findings = [...found, ...findOtherSources(own, others.sources)];
  const check = checkSession({ session, measured, findings, odd, others: others.sources });
  return { measured, findings, check };
}
