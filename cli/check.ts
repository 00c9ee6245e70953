import { checkJob } from '../src/commands/check-job.ts';
import type { Progress } from '../src/commands/progress.ts';
import { checkLines } from '../src/words/lines/check-lines.ts';
import { EXIT_FINE, EXIT_RECORD_MORE } from './failure.ts';
import { loadSession } from './load-session.ts';
import type { Outcome } from './outcome.ts';
import { terminalShell } from './shell.ts';

interface CheckOptions {
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
export async function checkCommand(options: CheckOptions, progress: Progress): Promise<Outcome> {
  const check = await checkJob(loadSession(options), terminalShell(progress));
  return {
    text: checkLines(check).join('\n'),
    data: check,
    status: check.mayCloseDash ? EXIT_FINE : EXIT_RECORD_MORE,
  };
}
