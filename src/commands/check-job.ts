import { checkedSession } from '../check/checked-session.ts';
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
    return checkedSession({ session, open: recordings.open, ahead, onProgress: shell.progress }).check;
  });
}
