import { checkLines } from '../src/check/check-lines.ts';
import { checkedSession } from '../src/check/checked-session.ts';
import { EXIT_FINE, EXIT_RECORD_MORE } from './failure.ts';
import { loadSession } from './load-session.ts';
import { openRecordings } from './open-recordings.ts';
import type { Outcome } from './outcome.ts';
import { readAhead } from './read-ahead.ts';
import type { Progress } from './terminal.ts';

export interface CheckOptions {
  readonly target: string;
  readonly settings?: string;
  readonly channels?: string;
}

/**
 * Says of recordings whether they are usable and enough, while the dash is still open. Nothing is written.
 *
 * @returns status 3 where something has to be recorded or settled first
 * @throws SteptoneError as `analyse` does where nothing can be used
 */
export async function checkCommand(
  { target, settings, channels }: CheckOptions,
  onProgress: Progress,
): Promise<Outcome> {
  const loaded = loadSession({ target, settings, channels });
  const { session } = loaded;
  const recordings = openRecordings(loaded);
  try {
    const ahead = await readAhead({ loaded, recordings, progress: onProgress });
    const { check } = checkedSession({ session, open: recordings.open, ahead, onProgress });
    return {
      text: checkLines(check).join('\n'),
      data: check,
      status: check.mayCloseDash ? EXIT_FINE : EXIT_RECORD_MORE,
    };
  } finally {
    recordings.close();
  }
}
