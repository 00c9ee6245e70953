import { measureSession } from '../src/measure/measure-session.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { fromRecord } from '../src/model/measurement-record.ts';
import { recommendationsOf } from '../src/model/recommendation.ts';
import type { Results } from '../src/model/results.ts';
import { type SameRadio, sameRadio } from '../src/verify/same-radio.ts';
import { loadSession } from './load-session.ts';
import { openRecordings } from './open-recordings.ts';
import { recordingsOf, refuseSameBytes } from './same-bytes.ts';
import type { Progress } from './terminal.ts';

export interface ConfirmOptions {
  readonly take: string;
  readonly channels?: string;
  readonly setting?: string;
}

export interface ConfirmedRadio extends SameRadio {
  readonly tapId: string;
  readonly setting: number;
  readonly withinDb: number;
}

/**
 * Measures one take of a tap that the results hold, at a setting that they hold, and compares the two.
 *
 * @throws SteptoneError 'usage' where the plan has nothing to confirm, or the take shows no tap and setting of it or is a
 *   recording that the plan was made from;
 *   otherwise as `analyse` does
 */
export function confirmRadio(
  results: Results,
  { take, channels, setting }: ConfirmOptions,
  onProgress: Progress,
): ConfirmedRadio {
  const [confirm] = recommendationsOf(results.recommendations, 'confirm');
  const [tapId, at] = [channels ?? confirm?.tapId, setting ?? confirm?.setting];
  if (confirm === undefined || tapId === undefined || at === undefined)
    throw notComparable({ found: 'a plan that names no tap and setting', where: take, results });
  if (!Number.isFinite(Number(at))) throw notComparable({ found: `--setting '${at}'`, where: take, results });
  const loaded = loadSession({ target: take, settings: String(at), channels: tapId });
  // The pad of the bay, as it was; a tone that calibrated other recordings says nothing about these.
  const { calibration } = results.session;
  const session = {
    ...loaded.session,
    calibration: calibration.kind === 'pad' ? calibration : ({ kind: 'none' } as const),
  };
  const recordings = openRecordings(loaded);
  try {
    refuseSameBytes({ recorded: recordingsOf(recordings.fingerprints(onProgress), loaded), plan: results });
    const { measurements } = measureSession({ session, open: recordings.open, onProgress });
    for (const now of measurements) {
      const record = results.measurements.find(
        (one) => one.tapId === now.tapId && one.setting === now.setting,
      );
      const { withinDb } = confirm;
      const answer = record === undefined ? null : sameRadio({ before: fromRecord(record), now, withinDb });
      if (answer !== null) return { ...answer, tapId: now.tapId, setting: now.setting, withinDb };
    }
    throw notComparable({ found: `${tapId} at setting ${at}, which they do not`, where: take, results });
  } finally {
    recordings.close();
  }
}

/** The outcome in a line. */
export function confirmedLine({
  same,
  levelDb,
  shapeDb,
  atHz,
  tapId,
  setting,
  withinDb,
}: ConfirmedRadio): string {
  const level = levelDb === null ? 'level not compared (no volts)' : `level ${levelDb.toFixed(1)} dB`;
  const found = `${tapId} at setting ${setting}: ${level}, shape at most ${shapeDb.toFixed(1)} dB at ${atHz.toFixed(0)} Hz`;
  if (same) return `The radio is the same within ${withinDb} dB (${found}).`;
  const next =
    Math.abs(shapeDb) <= withinDb
      ? `Only the level differs: was the volume at ${setting} (else say --setting), and is the pad the same one?`
      : 'Check source, tone controls, fade and pad; if they are as they were, record and analyse anew.';
  return `The radio is not the same within ${withinDb} dB (${found}). ${next}`;
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
    expected: `a take of a tap (${taps}) at a setting (${results.session.settings.join(', ')}) that the results hold`,
    found,
    where,
    nextStep: 'name them with --channels and --setting',
  });
}
