import { useEvery } from '../parts/use-every.ts';
import type { TakeControl } from '../sound/use-take.ts';

const STAGE_WORDS: Readonly<Record<TakeControl['stage'], (seconds: number) => string>> = {
  idle: () => '',
  waiting: () => 'Waiting for the track: start it on the radio.',
  hearing: (seconds) => `Hearing it, ${seconds.toFixed(0)} s. It ends by itself.`,
  keeping: () => 'Keeping the take …',
  checking: () => 'Kept. Checking it …',
};
/** A clock that counts seconds. */
const WRITTEN_EVERY_MS = 250;

/** How far a take is. */
export function StageOfTake({ recording }: { readonly recording: TakeControl }) {
  const seconds = useEvery(WRITTEN_EVERY_MS, recording.seconds);
  return <p role="status">{STAGE_WORDS[recording.stage](seconds)}</p>;
}
