import type { Request } from './command-line.ts';
import { EXIT_FINE, failureOf } from './failure.ts';
import { openTerminal, type Streams } from './terminal.ts';

/** Does the work that was asked for and prints its outcome, or what went wrong; answers the exit status. */
export async function carryOut({ json, quiet, work }: Request, streams: Streams = process): Promise<number> {
  const terminal = openTerminal({ quiet: quiet || json }, streams);
  try {
    const { text, data, status = EXIT_FINE } = await work({ progress: terminal.progress });
    if (json) terminal.out(JSON.stringify(data, null, 2));
    else if (!quiet) terminal.out(text);
    return status;
  } catch (error) {
    const { status, text, data } = failureOf(error);
    terminal.error(text);
    if (json) terminal.out(JSON.stringify(data, null, 2));
    return status;
  }
}
