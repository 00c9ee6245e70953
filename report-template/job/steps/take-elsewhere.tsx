import type { TakeControl } from '../sound/use-take.ts';
import { StageOfTake } from './stage-of-take.tsx';

/** Whether somebody who looks at another step has to know of a take: it runs, or is to be made again. */
export function isToldElsewhere({ stage, answer }: TakeControl): boolean {
  return stage !== 'idle' || answer?.good === false;
}

/** A take that is recorded while another step is shown. */
export function TakeElsewhere({ recording }: { readonly recording: TakeControl }) {
  const { of, stage } = recording;
  return (
    <>
      <p>
        <strong>{of!.file}</strong>
        {stage === 'idle' ? ' has to be recorded again.' : ':'}
      </p>
      <StageOfTake recording={recording} />
    </>
  );
}
