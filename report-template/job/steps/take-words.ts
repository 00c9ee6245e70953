import { recordingKindOf } from '../../../src/model/recording-kind.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';
import type { Take } from '../../../src/tones/bench-sheet/take-list.ts';
import { writtenSession } from '../job-view.ts';
import type { Job } from '../keep/job.ts';

/** A take in the list, with a tick once it is there. */
export function takeWords({ what, setting, file }: Take, isThere: boolean): string {
  const at = typeof setting === 'number' ? ` at ${setting}` : '';
  const kind = recordingKindOf(file);
  const optional = kind === 'loop' || kind === 'shorted' || kind === 'other source' ? 'Optional: ' : '';
  return `${isThere ? '✓ ' : ''}${optional}${what}${at} (${file})`;
}

/** What to do at the radio for a take. @param typed the setting, where the list leaves it open */
export function whatToPlay(job: Job, inside: string, take: Take, typed: string): string {
  if (take.play === 'nothing') return 'Play nothing.';
  const track = `${take.play === 'full track' ? 'full' : 'response-only'} track${sourceWords(job, inside, take)}`;
  const setting = take.setting ?? typed;
  return setting === 'none' || setting === ''
    ? `Play the ${track}.`
    : `Set the volume to ${setting}, and play the ${track}.`;
}

/** Of a take from another source than the rest: what plays it. */
function sourceWords(job: Job, inside: string, { file }: Take): string {
  if (recordingKindOf(file) !== 'other source') return '';
  const { otherSource } = writtenSession(job, inside).value as SessionInput;
  return ` from ${otherSource ?? 'the customer’s own source'}`;
}
