import { join } from 'node:path';
import { fingerprintOf } from '../src/commands/fingerprint.ts';
import { withFile } from '../src/commands/job-folder.ts';
import type { Progress } from '../src/commands/progress.ts';
import { readResults } from '../src/commands/read-results.ts';
import { PROOF_FILES, verifyJob } from '../src/commands/verify-job.ts';
import { plannedFeeds } from '../src/verify/planned-feed.ts';
import { refuseUnplanned } from '../src/verify/recorded-feed.ts';
import { verifyLines } from '../src/words/lines/verify-lines.ts';
import { checkTargets } from './check-targets.ts';
import { diskFile } from './disk-folder.ts';
import { EXIT_FINE, EXIT_NOT_AS_PLANNED } from './failure.ts';
import { loadSession } from './load-session.ts';
import type { Outcome } from './outcome.ts';
import { sha256 } from './sha256.ts';
import { terminalShell } from './shell.ts';
import { writeTogether } from './write-together.ts';

interface VerifyOptions {
  readonly target: string;
  /** Results with the plan that was installed. */
  readonly plan: string;
  readonly settings?: string;
  readonly channels?: string;
  readonly out?: string;
  readonly force: boolean;
}

const DEFAULT_OUT = 'steptone-out';

/**
 * Holds recordings behind the converter or the amplifier against the plan, and writes the proof as data and as a page.
 *
 * @returns status 4 where the install is not as planned
 * @throws SteptoneError as `analyse` does, 'session-field', before it reads a recording, where a tap
 *   names no feed of the plan, and 'usage' for
 *   recordings of which two are the same file, or one is a recording that the plan was made from
 */
export async function verifyCommand(
  { target, plan: planFile, settings, channels, out, force }: VerifyOptions,
  onProgress: Progress,
): Promise<Outcome> {
  const planPlace = diskFile(planFile);
  const plan = readResults(planPlace, { sha256 });
  const loaded = loadSession({ target, settings, channels });
  const folder = out ?? join(loaded.folder.name, DEFAULT_OUT);
  checkTargets({ folder, names: Object.values(PROOF_FILES), force });
  refuseUnplanned(loaded.session, plannedFeeds(plan));
  const shell = terminalShell(onProgress);
  const planFingerprint = withFile(planPlace, (source) =>
    fingerprintOf({ source, file: planPlace.file, sha256: shell.sha256 }),
  );
  const { verification, files } = await verifyJob({ loaded, plan, planFingerprint }, shell);
  writeTogether({ folder, files, force });
  const [page, job] = [join(folder, PROOF_FILES.page), join(folder, PROOF_FILES.job)];
  return {
    text: [
      ...verifyLines(verification),
      `Proof: ${page}`,
      `Keep:  ${job} (the plan, with the volts as left)`,
    ].join('\n'),
    data: { proof: page, results: job, verification },
    status: verification.passes ? EXIT_FINE : EXIT_NOT_AS_PLANNED,
  };
}
