import { useEffect, useRef, useState } from 'preact/hooks';
import type { Check } from '../../../src/model/check.ts';
import { reasonText } from '../../../src/words/reason-text.ts';
import { type Job, pathIn } from '../keep/job.ts';
import { saveFile } from '../keep/save-file.ts';
import { ask } from '../work/ask.ts';
import { Heard } from './heard.ts';
import { signal } from './signals.ts';
import { TakeRecorder } from './take-recorder.ts';
import type { Input } from './use-input.ts';

/** What came of a take. */
export interface TakeAnswer {
  readonly file: string;
  readonly good: boolean;
  readonly said: readonly string[];
  readonly error: Error | null;
  readonly next: string;
}

export interface TakeControl {
  readonly stage: 'idle' | 'waiting' | 'hearing' | 'keeping' | 'checking';
  readonly seconds: number;
  readonly answer: TakeAnswer | null;
  readonly start: () => void;
  readonly stop: () => void;
  readonly giveUp: () => void;
}

/** For takes in which nothing is played: the recorder's or the radio's own noise. */
const NOTHING_SECONDS = 30;
const NOT_KEPT = 'The browser has no room for it: it was saved as a download';
const SHOWN_EVERY_MS = 250;

interface Running {
  readonly stop: () => void;
  readonly giveUp: () => void;
  readonly stage: () => 'waiting' | 'hearing';
  readonly seconds: () => number;
}

/** Records one take of the list, keeps it, and checks it at once. */
export function useTake(of: {
  job: Job;
  inside: string;
  file: string;
  play: string;
  channelCount: number;
  input: Input;
  /** What to do after a good take, in words; called once it is kept. */
  onGood: () => string;
}): TakeControl {
  const { job, inside, file, play, channelCount, input, onGood } = of;
  const [stage, setStage] = useState<TakeControl['stage']>('idle');
  const [seconds, setSeconds] = useState(0);
  const [answer, setAnswer] = useState<TakeAnswer | null>(null);
  const running = useRef<Running | null>(null);

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
    if (input.capture !== null || running.current === null) return;
    running.current.giveUp();
    running.current = null;
    setStage('idle');
  }, [input.capture]);

  const finish = async (channels: Float32Array[], whole: boolean) => {
    running.current = null;
    try {
      await keepAndJudge(channels, whole);
    } catch (error) {
      const told = error instanceof Error ? error : new Error(String(error));
      setAnswer({ file, good: false, said: [], error: told, next: 'record this one again' });
    }
    setStage('idle');
  };
  const keepAndJudge = async (channels: Float32Array[], whole: boolean) => {
    const { capture } = input;
    const lost = capture?.lostSeconds() ?? 0;
    const kept = channels.slice(0, channelCount === 0 ? channels.length : channelCount);
    setStage('keeping');
    const wav = await ask('wav', { channels: kept, sampleRateHz: capture?.sampleRateHz ?? 48_000 });
    const name = pathIn(inside, file);
    const blob = new Blob([wav as Uint8Array<ArrayBuffer>]);
    if (!(await job.put(new Map([[name, blob]])))) {
      saveFile(file, blob);
      const next = 'make room, and drop the saved take here';
      setAnswer({ file, good: false, said: [NOT_KEPT], error: null, next });
      return;
    }
    setStage('checking');
    const judged = play === 'nothing' ? nothingPlayed(file) : await judge(job, inside, file);
    const said = [
      ...(capture?.processing ?? []).map((what) => `The sound is changed on its way: ${what}`),
      ...(lost > 0 ? [`The browser lost about ${(1000 * lost).toFixed(0)} ms of sound`] : []),
      ...(whole || play === 'nothing' ? [] : ['No whole track was heard before it was stopped']),
      ...judged.said,
    ];
    const good = judged.good && lost === 0 && (whole || play === 'nothing');
    setAnswer({ ...judged, good, said, next: good ? onGood() : 'record this one again' });
    signal(good);
  };

  const start = () => {
    if (input.capture === null) return;
    setAnswer(null);
    input.resetLevels();
    running.current =
      play === 'nothing'
        ? recordSilence(input, (channels) => void finish(channels, true))
        : recordTrack(input, play, (channels, whole) => void finish(channels, whole));
  };

  return {
    stage,
    seconds,
    answer,
    start,
    stop: () => running.current?.stop(),
    giveUp() {
      running.current?.giveUp();
      running.current = null;
      setStage('idle');
    },
  };
}

function recordTrack(
  input: Input,
  play: string,
  onEnd: (channels: Float32Array[], whole: boolean) => void,
): Running {
  const { sampleRateHz } = input.capture!;
  const recorder = new TakeRecorder(sampleRateHz, {
    track: play === 'full track' ? 'full' : 'response only',
    search: (channels) => ask('heardTake', { channels, sampleRateHz }),
    onEnd({ channels, whole }) {
      letGo();
      onEnd(channels, whole);
    },
  });
  const letGo = input.listen((block) => recorder.add(block));
  return {
    stop: () => recorder.stop(),
    giveUp: letGo,
    stage: () => (recorder.stage === 'waiting' ? 'waiting' : 'hearing'),
    seconds: () => recorder.seconds,
  };
}

function recordSilence(input: Input, onEnd: (channels: Float32Array[]) => void): Running {
  const heard = new Heard(input.capture!.sampleRateHz);
  const end = () => {
    letGo();
    onEnd(heard.section());
  };
  const letGo = input.listen((block) => {
    heard.add(block);
    if (heard.seconds >= NOTHING_SECONDS) end();
  });
  return { stop: end, giveUp: letGo, stage: () => 'hearing', seconds: () => heard.seconds };
}

async function judge(job: Job, inside: string, file: string): Promise<Omit<TakeAnswer, 'next'>> {
  try {
    const check = await ask('checkTake', { file }, { files: job.files, inside });
    return { file, error: null, ...remarksOf(check, file) };
  } catch (error) {
    return { file, good: false, said: [], error: error instanceof Error ? error : new Error(String(error)) };
  }
}

function remarksOf(check: Check, file: string): { good: boolean; said: string[] } {
  const remarks = check.takes.filter(({ facts }) => facts.file === file).flatMap((take) => take.remarks);
  const files = check.files.filter((one) => one.file === file);
  return {
    good: !remarks.some(({ weight }) => weight === 'record again') && !files.some(({ left }) => left),
    said: [...files, ...remarks].map(({ reason }) => reasonText(reason)),
  };
}

function nothingPlayed(file: string): Omit<TakeAnswer, 'next'> {
  return { file, good: true, said: [], error: null };
}
