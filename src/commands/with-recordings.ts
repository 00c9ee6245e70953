import type { LoadedSession } from './load-session.ts';
import { type OpenRecordings, openRecordings } from './open-recordings.ts';
import type { Shell } from './shell.ts';

/** Work with the recordings of a session, which are closed afterwards, whatever happens. */
export async function withRecordings<Answer>(
  loaded: LoadedSession,
  { sha256, hashAlong }: Pick<Shell, 'sha256'> & { hashAlong?: boolean },
  work: (recordings: OpenRecordings) => Answer | Promise<Answer>,
): Promise<Answer> {
  const recordings = openRecordings(loaded, { sha256, hashAlong });
  try {
    return await work(recordings);
  } finally {
    recordings.close();
  }
}
