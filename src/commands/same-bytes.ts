import { SteptoneError } from '../model/errors.ts';
import type { Results } from '../model/results.ts';
import type { Fingerprint } from './fingerprint.ts';
import type { LoadedSession } from './load-session.ts';

/** Of the fingerprints, those of sound files in which something plays or is heard. */
export function recordingsOf(
  prints: readonly Fingerprint[],
  { session }: Pick<LoadedSession, 'session'>,
): Fingerprint[] {
  const files = new Set(session.recordings.map(({ file }) => file));
  return prints.filter(({ file }) => files.has(file));
}

/**
 * Refuses recordings that cannot be what they are called: the same file twice under two names, or one of those that the
 * plan was made from. Two recordings never agree to the last bit: noise alone sees to that.
 *
 * @throws SteptoneError 'usage'
 */
export function refuseSameBytes({
  recorded,
  plan,
}: {
  recorded: readonly Fingerprint[];
  plan: Results;
}): void {
  const seen = new Map(plan.inputs.map((input) => [input.sha256, { ...input, isOfPlan: true }]));
  for (const print of recorded) {
    const same = seen.get(print.sha256);
    if (same !== undefined) throw sameBytes({ print, same });
    seen.set(print.sha256, { ...print, isOfPlan: false });
  }
}

function sameBytes({
  print,
  same,
}: {
  print: Fingerprint;
  same: { file: string; isOfPlan: boolean };
}): SteptoneError {
  return new SteptoneError({
    code: 'usage',
    expected: same.isOfPlan ? 'recordings from after the install' : 'a recording of its own in each file',
    found: same.isOfPlan
      ? `the same bytes as ${same.file}, which the plan rests on`
      : `the same bytes as ${same.file}`,
    where: print.file,
    likelyCause: 'a copy under another name or from another folder',
    nextStep: same.isOfPlan ? 'record at the converter or amplifier' : 'record the missing one',
  });
}
