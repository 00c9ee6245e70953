import { run } from '../../cli/run.ts';
import type { Ended } from './steptone.ts';

/** The command in this process, where what is asked is what it says and not how the process ends: a tenth of the time. */
export async function steptoneHere(args: readonly string[]): Promise<Ended> {
  const printed = { stdout: '', stderr: '' };
  const status = await run(args, {
    stdout: { write: (text) => (printed.stdout += text) },
    stderr: { write: (text) => (printed.stderr += text) },
  });
  return { status, ...printed };
}
