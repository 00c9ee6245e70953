import { join } from 'node:path';
import { jsonText } from '../src/model/json-text.ts';
import { plannedFeeds } from '../src/verify/planned-feed.ts';
import { refuseUnplanned } from '../src/verify/recorded-feed.ts';
import { verifyLines } from '../src/verify/verify-lines.ts';
import { reasonText } from '../src/words/reason-text.ts';
import { checkTargets } from './check-targets.ts';
import { EXIT_FINE, EXIT_NOT_AS_PLANNED } from './failure.ts';
import { loadSession } from './load-session.ts';
import { fileFingerprint, openRecordings } from './open-recordings.ts';
import type { Outcome } from './outcome.ts';
import { toolVersion } from './package-folder.ts';
import { readResults, textOfResults } from './read-results.ts';
import { recordingsOf, refuseSameBytes } from './same-bytes.ts';
import type { Progress } from './terminal.ts';
import { writeTogether } from './write-together.ts';

export interface VerifyOptions {
  readonly target: string;
  /** Results with the plan that was installed. */
  readonly plan: string;
  readonly settings?: string;
  readonly channels?: string;
  readonly out?: string;
  readonly force: boolean;
}

const DEFAULT_OUT = 'steptone-out';
const DATA = 'verify.json';
const PAGE = 'verify.html';
/** The plan with the volts as left: the one file to keep. */
const JOB = 'results.json';

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
  const plan = readResults(planFile);
  const loaded = loadSession({ target, settings, channels });
  const folder = out ?? join(loaded.folder, DEFAULT_OUT);
  checkTargets({ folder, names: [DATA, PAGE, JOB], force });
  refuseUnplanned(loaded.session, plannedFeeds(plan));
  const recordings = openRecordings(loaded);
  try {
    const prints = recordings.fingerprints(onProgress);
    const inputs = [fileFingerprint(planFile), ...prints];
    refuseSameBytes({ recorded: recordingsOf(prints, loaded), plan });
    const [{ measureSession }, { verify }, { proofPage }] = await Promise.all([
      import('../src/measure/measure-session.ts'),
      import('../src/verify/verify.ts'),
      import('../src/proof/proof-page.ts'),
    ]);
    const { session } = loaded;
    const { measurements, notes } = measureSession({ session, open: recordings.open, onProgress });
    const verification = verify({
      plan,
      session,
      measurements,
      notes: notes.map(({ file, reason }) => `${file}: ${reasonText(reason)}`),
      toolVersion: toolVersion(),
      inputs,
    });
    const asLeft = verification.feeds.flatMap((feed) => feed.asLeft);
    const files = {
      [DATA]: `${jsonText(verification)}\n`,
      [PAGE]: proofPage(verification),
      [JOB]: textOfResults({ ...plan, asLeft }),
    };
    writeTogether({ folder, files, force });
    return {
      text: [
        ...verifyLines(verification),
        `Proof: ${join(folder, PAGE)}`,
        `Keep:  ${join(folder, JOB)} (the plan, with the volts as left)`,
      ].join('\n'),
      data: { proof: join(folder, PAGE), results: join(folder, JOB), verification },
      status: verification.passes ? EXIT_FINE : EXIT_NOT_AS_PLANNED,
    };
  } finally {
    recordings.close();
  }
}
