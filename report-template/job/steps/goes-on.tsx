import { recordingKindOf } from '../../../src/model/recording-kind.ts';
import type { Take } from '../../../src/tones/bench-sheet/take-list.ts';
import type { Job } from '../keep/job.ts';
import { channelNames } from './channel-names.ts';

const NOTE = 'goes on by itself';

/** One press for all takes of a pair. */
export function GoesOnTick({ job }: { readonly job: Job }) {
  return (
    <label class="tick">
      <input
        type="checkbox"
        checked={job.noted<boolean>(NOTE) === true}
        onChange={({ currentTarget }) => job.note(NOTE, currentTarget.checked)}
      />{' '}
      After a good take, listen for the next one on the same wires. Turn the radio’s repeat off.
    </label>
  );
}

/** Whether the page goes on from one take to the next: only the volume has to be changed between them. */
export function goesOn(job: Job, inside: string, takes: readonly [Take, Take]): boolean {
  const [before, after] = takes.map((take) => channelNames(job, inside, take).join());
  const areOfRadio = takes.every(
    ({ file, setting }) => typeof setting === 'number' && recordingKindOf(file) === 'takes',
  );
  return job.noted<boolean>(NOTE) === true && areOfRadio && before === after;
}
