import type { TakeControl } from '../sound/use-take.ts';
import { StageOfTake } from './stage-of-take.tsx';

/** Starts and ends a take; says how far it is. */
export function TakeButtons({
  recording,
  plays,
  caution,
  main,
  onStart,
}: {
  readonly recording: TakeControl;
  /** Whether something is played while it is recorded. */
  readonly plays: boolean;
  /** Of what is played; null where it stands elsewhere on the step. */
  readonly caution: string | null;
  /** Whether it is the one thing to do next. */
  readonly main: boolean;
  /** Null where a take cannot begin yet. */
  readonly onStart: (() => void) | null;
}) {
  const { stage } = recording;
  return (
    <>
      {plays && caution !== null && <p class="caution">{caution}</p>}
      <p class="buttons">
        {stage === 'idle' && (
          <button
            type="button"
            class={main ? 'main' : undefined}
            disabled={onStart === null}
            onClick={onStart ?? undefined}
          >
            {plays ? 'Listen for the track' : 'Record 30 seconds'}
          </button>
        )}
        {stage === 'hearing' && (
          <button type="button" onClick={recording.stop}>
            Stop and keep what was heard
          </button>
        )}
        {(stage === 'waiting' || stage === 'hearing') && (
          <button type="button" onClick={recording.giveUp}>
            {stage === 'waiting' ? 'Stop listening' : 'Discard this take'}
          </button>
        )}
      </p>
      <StageOfTake recording={recording} />
    </>
  );
}
