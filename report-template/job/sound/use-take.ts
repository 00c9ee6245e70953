import { useEffect, useRef, useState } from 'preact/hooks';
import { judgedTake, type TakeAnswer, type TakeToJudge } from './judged-take.ts';
import { type RunningTake, recordTake } from './running-take.ts';

export interface TakeControl {
  readonly stage: 'idle' | 'waiting' | 'hearing' | 'keeping' | 'checking';
  readonly seconds: number;
  readonly answer: TakeAnswer | null;
  readonly start: () => void;
  readonly stop: () => void;
  readonly giveUp: () => void;
}

/** Often enough for a clock that counts seconds. */
const SHOWN_EVERY_MS = 250;

/** Records one take of the list, keeps it, and checks it at once. */
export function useTake(of: TakeToJudge): TakeControl {
  const { play, input } = of;
  const [stage, setStage] = useState<TakeControl['stage']>('idle');
  const [seconds, setSeconds] = useState(0);
  const [answer, setAnswer] = useState<TakeAnswer | null>(null);
  const running = useRef<RunningTake | null>(null);

  useEffect(() => {
    const timer = setInterval(() => {
      if (running.current === null) return;
      setStage(running.current.stage());
      setSeconds(running.current.seconds());
    }, SHOWN_EVERY_MS);
    return () => clearInterval(timer);
  }, []);
  useEffect(() => {
    // The cable was pulled: only the take that was running is lost, and what was heard of it is of no use.
    if (input.capture === null && running.current !== null) giveUp();
  }, [input.capture]);

  function start() {
    if (input.capture === null) return;
    setAnswer(null);
    input.resetLevels();
    running.current = recordTake(input, play, (channels, whole) => void finish(channels, whole));
  }

  async function finish(channels: Float32Array[], whole: boolean) {
    running.current = null;
    setAnswer(await judgedTake(of, { channels, whole }, setStage));
    setStage('idle');
  }

  function giveUp() {
    running.current?.giveUp();
    running.current = null;
    setStage('idle');
  }

  return { stage, seconds, answer, start, stop: () => running.current?.stop(), giveUp };
}
