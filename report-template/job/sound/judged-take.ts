import type { Check } from '../../../src/model/check.ts';
import { reasonText } from '../../../src/words/reason-text.ts';
import { type Job, pathIn } from '../keep/job.ts';
import { saveFile } from '../keep/save-file.ts';
import type { StepId } from '../steps/progress-of-job.ts';
import { ask } from '../work/ask.ts';
import type { EndedTake } from './running-take.ts';
import { signal } from './signals.ts';
import type { Input } from './use-input.ts';

/** What came of a take. */
export interface TakeAnswer {
  readonly file: string;
  readonly good: boolean;
  readonly said: readonly string[];
  readonly error: Error | null;
  readonly next: string;
  /** The take to listen for at once; null where somebody has to do something first. */
  readonly goesOnWith: TakeToJudge | null;
}

export interface TakeToJudge {
  /** Of the job card, where it is recorded. */
  readonly step: StepId;
  readonly job: Job;
  readonly inside: string;
  readonly file: string;
  readonly play: string;
  /** 0 for as many as the input gives. */
  readonly channelCount: number;
  readonly input: Input;
  /** What to do after a good take; called once it is kept. */
  readonly onGood: () => Pick<TakeAnswer, 'next' | 'goesOnWith'>;
}

const NOT_KEPT = 'The browser has no room for it: it was saved as a download';
const NOT_WHOLE = 'No whole track was heard before it was stopped';
const SHORT = 'That was the response-only track: this take wants the full one';
const AGAIN = 'record this one again';
/** Of a capture that went away while the take ended. */
const USUAL_RATE_HZ = 48_000;

/** Keeps a take as a file of the job, checks it, and says good or again, also by a tone. */
export async function judgedTake(
  of: TakeToJudge,
  { channels, whole, short, lostSeconds }: EndedTake,
  onStage: (stage: 'keeping' | 'checking') => void,
): Promise<TakeAnswer> {
  const { job, inside, file, play, input, onGood } = of;
  try {
    onStage('keeping');
    if (!(await keep(of, channels)))
      return {
        file,
        good: false,
        said: [NOT_KEPT],
        error: null,
        ...toDo('make room, and drop the saved take here'),
      };
    onStage('checking');
    const isWhole = whole || play === 'nothing';
    const judged = play === 'nothing' ? nothingPlayed(file) : await judge(job, inside, file);
    const said = [
      ...(input.capture?.processing ?? []).map((what) => `The sound is changed on its way: ${what}`),
      ...(lostSeconds > 0 ? [`The browser lost about ${(1000 * lostSeconds).toFixed(0)} ms of sound`] : []),
      ...(isWhole ? [] : [short ? SHORT : NOT_WHOLE]),
      ...judged.said,
    ];
    const good = judged.good && lostSeconds === 0 && isWhole;
    job.noteAgain([pathIn(inside, file)], !good);
    const next = good ? onGood() : toDo(AGAIN);
    signal(good);
    return { ...judged, good, said, ...next };
  } catch (error) {
    return { file, good: false, said: [], error: asError(error), ...toDo(AGAIN) };
  }
}

/** @returns false where the browser had no room: the take was saved as a download */
async function keep(
  { job, inside, file, channelCount, input }: TakeToJudge,
  channels: readonly Float32Array[],
): Promise<boolean> {
  const wav = await ask('wav', {
    channels: channels.slice(0, channelCount === 0 ? channels.length : channelCount),
    sampleRateHz: input.capture?.sampleRateHz ?? USUAL_RATE_HZ,
  });
  const blob = new Blob([wav as Uint8Array<ArrayBuffer>]);
  const isKept = await job.put(new Map([[pathIn(inside, file), blob]]));
  if (!isKept) saveFile(file, blob);
  return isKept;
}

async function judge(job: Job, inside: string, file: string): Promise<Judged> {
  try {
    const check = await ask('checkTake', { file }, { files: job.files, inside });
    return { file, error: null, ...remarksOf(check, file) };
  } catch (error) {
    return { file, good: false, said: [], error: asError(error) };
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

function toDo(next: string): Pick<TakeAnswer, 'next' | 'goesOnWith'> {
  return { next, goesOnWith: null };
}

type Judged = Omit<TakeAnswer, 'next' | 'goesOnWith'>;

function nothingPlayed(file: string): Judged {
  return { file, good: true, said: [], error: null };
}

function asError(error: unknown): Error {
  return error instanceof Error ? error : new Error(String(error));
}
