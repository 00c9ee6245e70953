import { useEffect, useRef, useState } from 'preact/hooks';
import { judgedTake, type TakeAnswer, type TakeToJudge } from './judged-take.ts';
import { type EndedTake, type RunningTake, recordTake } from './running-take.ts';
import type { Input } from './use-input.ts';

export interface TakeControl {
  readonly stage: 'idle' | 'waiting' | 'hearing' | 'keeping' | 'checking';
  /** The take that is recorded, or was last. */
  readonly of: TakeToJudge | null;
  /** What came of it. */
  readonly answer: TakeAnswer | null;
  /** Since its track began to be heard. */
  readonly seconds: () => number;
  readonly start: (take: TakeToJudge) => void;
  readonly stop: () => void;
  readonly giveUp: () => void;
}

/** Often enough for a stage that a person waits for. */
const LOOKED_EVERY_MS = 250;

/** Records one take of the list, keeps it, and checks it at once; goes on while another step is shown. */
export function useTake(input: Input): TakeControl {
  const [stage, setStage] = useState<TakeControl['stage']>('idle');
  const [of, setOf] = useState<TakeToJudge | null>(null);
  const [answer, setAnswer] = useState<TakeAnswer | null>(null);
  const running = useRef<RunningTake | null>(null);

  useEffect(() => {
    if (stage === 'idle') return;
    const timer = setInterval(() => {
      if (running.current !== null) setStage(running.current.stage());
    }, LOOKED_EVERY_MS);
    // The browser asks whether the page may go: the take would be lost.
    const ask = (event: BeforeUnloadEvent) => event.preventDefault();
    addEventListener('beforeunload', ask);
    return () => {
      clearInterval(timer);
      removeEventListener('beforeunload', ask);
    };
  }, [stage]);
  useEffect(() => {
    // The cable was pulled: only the take that was running is lost, and what was heard of it is of no use.
    if (input.capture === null && running.current !== null) giveUp();
  }, [input.capture]);

  function start(take: TakeToJudge) {
    setAnswer(null);
    listen(take);
  }

  function listen(take: TakeToJudge) {
    if (input.capture === null) return;
    setOf(take);
    input.resetLevels();
    running.current = recordTake(input, take.play, (ended) => void finish(take, ended));
    setStage('waiting');
  }

  async function finish(take: TakeToJudge, ended: EndedTake) {
    running.current = null;
    const judged = await judgedTake(take, ended, setStage);
    setAnswer(judged);
    setStage('idle');
    if (judged.goesOnWith !== null) listen(judged.goesOnWith);
  }

  function giveUp() {
    running.current?.giveUp();
    running.current = null;
    setStage('idle');
  }

  return {
    stage,
    of,
    answer,
    seconds: () => running.current?.seconds() ?? 0,
    start,
    stop: () => running.current?.stop(),
    giveUp,
  };
}
