import { measureSession } from '../measure/measure-session.ts';
import { SteptoneError } from '../model/errors.ts';
import { fromRecord } from '../model/measurement-record.ts';
import { recommendationsOf } from '../model/recommendation.ts';
import type { Results } from '../model/results.ts';
import { type SameRadio, sameRadio } from '../verify/same-radio.ts';
import type { FoundSession } from './find-session.ts';
import { loadSession } from './load-session.ts';
import { recordingsOf, refuseSameBytes } from './same-bytes.ts';
import type { Shell } from './shell.ts';
import { withRecordings } from './with-recordings.ts';

interface ConfirmOptions {
  /** A folder of recordings, a session file or a WAV, as it was found. */
  readonly take: FoundSession;
  /** What messages call it. */
  readonly where: string;
  readonly channels?: string | undefined;
  readonly setting?: string | undefined;
}

export interface ConfirmedRadio extends SameRadio {
  readonly tapId: string;
  readonly setting: number;
  readonly withinDb: number;
}

/**
 * Measures one take of a tap that the results hold, at a setting that they hold, and compares the two.
 *
 * @throws SteptoneError 'usage' where the plan has nothing to confirm, or the take shows no tap and setting of it;
 *   otherwise as `analyse` does
 */
export async function confirmRadio(
  results: Results,
  { take, where, channels, setting }: ConfirmOptions,
  shell: Pick<Shell, 'sha256' | 'progress'>,
): Promise<ConfirmedRadio> {
  const [confirm] = recommendationsOf(results.recommendations, 'confirm');
  const [tapId, at] = [channels ?? confirm?.tapId, setting ?? confirm?.setting];
  if (confirm === undefined || tapId === undefined || at === undefined)
    throw notComparable({ found: 'a plan that names no tap and setting', where, results });
  if (!Number.isFinite(Number(at))) throw notComparable({ found: `--setting '${at}'`, where, results });
  const loaded = loadSession(take, { settings: String(at), channels: tapId });
  // The pad of the bay, as it was; a tone that calibrated other recordings says nothing about these.
  const { calibration } = results.session;
  const session = {
    ...loaded.session,
    calibration: calibration.kind === 'pad' ? calibration : ({ kind: 'none' } as const),
  };
  return withRecordings(loaded, shell, ({ open, fingerprints }) => {
    refuseSameBytes({ recorded: recordingsOf(fingerprints(shell.progress), loaded), plan: results });
    const { measurements } = measureSession({ session, open, onProgress: shell.progress });
    for (const now of measurements) {
      const record = results.measurements.find(
        (one) => one.tapId === now.tapId && one.setting === now.setting,
      );
      const { withinDb } = confirm;
      const answer = record === undefined ? null : sameRadio({ before: fromRecord(record), now, withinDb });
      if (answer !== null) return { ...answer, tapId: now.tapId, setting: now.setting, withinDb };
    }
    throw notComparable({ found: `${tapId} at setting ${at}, which they do not`, where, results });
  });
}

function notComparable({
  found,
  where,
  results,
}: {
  found: string;
  where: string;
  results: Results;
}): SteptoneError {
  const taps = results.session.taps.map(({ id }) => id).join(', ');
  return new SteptoneError({
    code: 'usage',
    expected: `a take of a tap (${taps}) at a setting (${results.session.settings.join(', ')}) in the results`,
    found,
    where,
    nextStep: 'give both with --channels and --setting',
  });
}
