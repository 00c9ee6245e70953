import { recordingKindOf } from '../../../src/model/recording-kind.ts';
import { isSeatKind } from '../../../src/model/session.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';
import type { Take } from '../../../src/tones/bench-sheet/take-list.ts';
import { entriesOf } from '../forms/written.ts';
import { writtenSession } from '../job-view.ts';
import type { Job } from '../keep/job.ts';

/** The taps on the channels of a take, by the session. */
export function channelNames(job: Job, inside: string, take: Take | undefined): (string | null)[] {
  if (take !== undefined && isSeatKind(recordingKindOf(take.file))) return ['microphone'];
  const session = writtenSession(job, inside).value as SessionInput;
  const forms = entriesOf(session.recordings).flatMap((one) => (typeof one === 'string' ? [] : [one]));
  const own = forms.find(({ file }) => take !== undefined && matches(file, take.file));
  const first = forms[0]?.channels ?? session.channels ?? session.taps;
  const names = own?.channels ?? first;
  return (Array.isArray(names) ? names : []).map((name: unknown) =>
    typeof name === 'object' ? ((name as { id?: string } | null)?.id ?? null) : String(name),
  );
}

function matches(pattern: string, file: string): boolean {
  const [start, end] = pattern.split('*');
  return end === undefined ? pattern === file : file.startsWith(start) && file.endsWith(end);
}
