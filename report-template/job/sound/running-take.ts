import { ask } from '../work/ask.ts';
import type { Capture } from './capture.ts';
import { Heard } from './heard.ts';
import { type HeardOfTake, TakeRecorder } from './take-recorder.ts';
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

/** What came in, and the seconds of it that were lost on the way. */
export interface EndedTake extends HeardOfTake {
  readonly lostSeconds: number;
}

type OnEnd = (take: EndedTake) => void;

/** Two clocks part by a tenth of a thousandth (measurement practice), and browsers fill their buffers unevenly (chosen here). */
const LAG_SLACK_SECONDS = 0.15;

/** Records what is played, until it was heard as a whole or is stopped; where nothing is played, for half a minute. */
export function recordTake(input: Input, play: string, onEnd: OnEnd): RunningTake {
  return play === 'nothing' ? recordSilence(input, onEnd) : recordTrack(input, play, onEnd);
}

function recordTrack(input: Input, play: string, onEnd: OnEnd): RunningTake {
  const capture = input.capture!;
  const { sampleRateHz } = capture;
  let lagBefore = capture.lagSeconds();
  const recorder = new TakeRecorder(sampleRateHz, {
    track: play === 'full track' ? 'full' : 'response only',
    search: (channels) => ask('heardTake', { channels, sampleRateHz }),
    onEnd(heard) {
      letGo();
      onEnd({ ...heard, lostSeconds: lostSince(lagBefore, capture) });
    },
  });
  const letGo = input.listen((block) => {
    // What is lost before the track is no loss.
    if (recorder.stage === 'waiting') lagBefore = capture.lagSeconds();
    recorder.add(block);
  });
  return {
    stop: () => recorder.stop(),
    giveUp: letGo,
    stage: () => (recorder.stage === 'waiting' ? 'waiting' : 'hearing'),
    seconds: () => recorder.seconds,
  };
}

function recordSilence(input: Input, onEnd: OnEnd): RunningTake {
  const capture = input.capture!;
  const lagBefore = capture.lagSeconds();
  const heard = new Heard(capture.sampleRateHz);
  const end = () => {
    letGo();
    const lostSeconds = lostSince(lagBefore, capture);
    onEnd({ channels: heard.section(), whole: true, short: false, lostSeconds });
  };
  const letGo = input.listen((block) => {
    heard.add(block);
    if (heard.seconds >= NOTHING_SECONDS) end();
  });
  return { stop: end, giveUp: letGo, stage: () => 'hearing', seconds: () => heard.seconds };
}

function lostSince(lagBefore: number, capture: Capture): number {
  const lost = capture.lagSeconds() - lagBefore;
  return lost > LAG_SLACK_SECONDS ? lost : 0;
}
