import { checkSession } from '../check/check-session.ts';
import { findAll } from '../findings/find-all.ts';
import { withheldFromMicrophones } from '../findings/withheld/microphone.ts';
import { measureNoiseTakes } from '../measure/disturbances/noise-takes.ts';
import { measureSession } from '../measure/measure-session.ts';
import type { Check } from '../model/check.ts';
import type { LoadedSession } from './load-session.ts';
import type { Shell } from './shell.ts';
import { withRecordings } from './with-recordings.ts';

/**
 * Whether recordings are usable and enough, while the dash is still open.
 *
 * @throws SteptoneError as `analyseJob` does where nothing can be used
 */
export function checkJob(
  loaded: LoadedSession,
  shell: Pick<Shell, 'sha256' | 'progress' | 'readAhead'>,
): Promise<Check> {
  const { session } = loaded;
  return withRecordings(loaded, shell, async (recordings) => {
    const ahead = await shell.readAhead({ loaded, recordings, withFingerprints: false });
    const { open } = recordings;
    const measured = measureSession({ session, open, ahead, onProgress: shell.progress });
    const noise = measureNoiseTakes({ session, open });
    const findings = withheldFromMicrophones(
      findAll({ session, measurements: measured.measurements, noiseTakes: noise.takes }),
      session,
    );
    return checkSession({
      session,
      measured: { ...measured, notes: [...measured.notes, ...noise.notes] },
      findings,
    });
  });
}
