import { jsonText } from '../model/json-text.ts';
import type { Results } from '../model/results.ts';
import { resultsText } from '../model/results-file.ts';
import type { Verification } from '../model/verification.ts';
import { type Fingerprint, textHash } from './fingerprint.ts';
import type { LoadedSession } from './load-session.ts';
import { RESULTS_FILE } from './result-files.ts';
import { recordingsOf, refuseSameBytes } from './same-bytes.ts';
import type { Shell } from './shell.ts';
import { withRecordings } from './with-recordings.ts';

/** The proof as data and as a page, and the plan with the volts as left: the one file to keep. */
export const PROOF_FILES = { data: 'verify.json', page: 'verify.html', job: RESULTS_FILE } as const;

interface VerifiedJob {
  readonly verification: Verification;
  readonly files: Readonly<Record<string, string>>;
}

/**
 * Compares recordings from the converter or the amplifier with the plan that was installed.
 *
 * @throws SteptoneError as `analyseJob` does, and 'session-field' where a tap names no feed of the plan
 */
export function verifyJob(
  of: { loaded: LoadedSession; plan: Results; planFingerprint: Fingerprint },
  shell: Pick<Shell, 'sha256' | 'progress' | 'toolVersion'>,
): Promise<VerifiedJob> {
  const { loaded, plan, planFingerprint } = of;
  const { progress, toolVersion } = shell;
  return withRecordings(loaded, shell, async (recordings) => {
    const prints = recordings.fingerprints(progress);
    const inputs = [planFingerprint, ...prints];
    refuseSameBytes({ recorded: recordingsOf(prints, loaded), plan });
    const [{ measureSession }, { verify }, { proofPage }] = await Promise.all([
      import('../measure/measure-session.ts'),
      import('../verify/verify.ts'),
      import('../proof/proof-page.ts'),
    ]);
    const { session } = loaded;
    const { measurements, notes } = measureSession({ session, open: recordings.open, onProgress: progress });
    const verification = verify({
      plan,
      session,
      measurements,
      notes,
      toolVersion,
      inputs,
    });
    const asLeft = verification.feeds.flatMap((feed) => feed.asLeft);
    return {
      verification,
      files: {
        [PROOF_FILES.data]: `${jsonText(verification)}\n`,
        [PROOF_FILES.page]: proofPage(verification, plan),
        [PROOF_FILES.job]: resultsText({ ...plan, asLeft }, textHash(shell.sha256)),
      },
    };
  });
}
