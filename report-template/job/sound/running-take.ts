import { ask } from '../work/ask.ts';
import { Heard } from './heard.ts';
import { TakeRecorder } from './take-recorder.ts';
import type { Input } from './use-input.ts';

/** A take that is being recorded. */
export interface RunningTake {
  readonly stop: () => void;
  readonly giveUp: () => void;
  readonly stage: () => 'waiting' | 'hearing';
  readonly seconds: () => number;
}

/** For takes in which nothing is played: the recorder's or the radio's own noise. */
const NOTHING_SECONDS = 30;

type OnEnd = (channels: Float32Array[], whole: boolean) => void;

/** Records what is played, until it was heard as a whole or is stopped; where nothing is played, for half a minute. */
export function recordTake(input: Input, play: string, onEnd: OnEnd): RunningTake {
  return play === 'nothing' ? recordSilence(input, onEnd) : recordTrack(input, play, onEnd);
}

function recordTrack(input: Input, play: string, onEnd: OnEnd): RunningTake {
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

function recordSilence(input: Input, onEnd: OnEnd): RunningTake {
  const heard = new Heard(input.capture!.sampleRateHz);
  const end = () => {
    letGo();
    onEnd(heard.section(), true);
  };
  const letGo = input.listen((block) => {
    heard.add(block);
    if (heard.seconds >= NOTHING_SECONDS) end();
  });
  return { stop: end, giveUp: letGo, stage: () => 'hearing', seconds: () => heard.seconds };
}
