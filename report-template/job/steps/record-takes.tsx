import { useState } from 'preact/hooks';
import { OPEN_SETTING } from '../../../src/tones/bench-sheet/bench-groups.ts';
import type { Take } from '../../../src/tones/bench-sheet/take-list.ts';
import { ChoiceField, TextField } from '../forms/field.tsx';
import { useJob } from '../job-view.ts';
import { type Job, pathIn } from '../keep/job.ts';
import { InputLevels } from '../parts/input-levels.tsx';
import { type Input, useInput } from '../sound/use-input.ts';
import { type TakeControl, useTake } from '../sound/use-take.ts';
import { AnswerOfTake } from './answer-of-take.tsx';
import { channelNames } from './channel-names.ts';
import { InputChoice } from './input-choice.tsx';
import { namedTakes, takeAfter, takesOf } from './progress-of-job.ts';
import { takeWords, whatToPlay } from './take-words.ts';

/** Takes of one folder of the job, recorded from a sound interface down the list, each checked at once. */
export function RecordTakes({
  inside = '',
  list,
}: {
  readonly inside?: string;
  /** The takes; those of the session's list where absent. */
  readonly list?: readonly Take[];
}) {
  const job = useJob();
  const input = useInput();
  const takes = namedTakes(list ?? takesOf(job, inside));
  const [chosen, setChosen] = useState<string | null>(null);
  const [setting, setSetting] = useState('');
  const take = takes.find(({ file }) => file === chosen) ?? firstToRecord(job, inside, takes) ?? takes[0];
  const file = take?.file.replace(OPEN_SETTING, setting) ?? '';
  const names = channelNames(job, inside, take);
  const recording = useTake({
    job,
    inside,
    file,
    play: take?.play ?? '',
    channelCount: names.length,
    input,
    onGood() {
      const next = takeAfter({ job, inside, file: take.file }, takes);
      setChosen(next?.file ?? take.file);
      return next === null ? 'check all recordings together' : takeWords(next, false);
    },
  });
  if (!takes.some(({ setting }) => typeof setting === 'number') && list === undefined)
    return <p>The takes are named once volume settings and outputs are filled in under Car and parts.</p>;
  if (names.length > 2) return <TooManyChannels count={names.length} />;
  const isThere = (one: string) => job.files.has(pathIn(inside, one));
  return (
    <>
      <InputChoice input={input} />
      <ChoiceField
        label="Take"
        value={take.file}
        choices={takes.map((one) => [one.file, takeWords(one, isThere(one.file))])}
        onChoose={setChosen}
      />
      {take.file.includes(OPEN_SETTING) && <SettingField value={setting} onInput={setSetting} />}
      <p>
        {whatToPlay(job, inside, take, setting)} It is kept as <strong>{file}</strong>
        {names.length > 0 && `: ${names.map((name, i) => `channel ${i + 1} ${name ?? 'unused'}`).join(', ')}`}
        .{isThere(file) && ' The one that is there is replaced.'}
      </p>
      {input.capture !== null && <Recorder {...{ input, names, take, file, recording }} />}
      {recording.answer !== null && <AnswerOfTake answer={recording.answer} />}
    </>
  );
}

/** The radio's own takes come first; those that prove the recorder are there to be chosen. */
function firstToRecord(job: Job, inside: string, takes: readonly Take[]): Take | null {
  const ofRadio = takes.filter(({ setting }) => typeof setting === 'number');
  return takeAfter({ job, inside, file: '' }, ofRadio) ?? takeAfter({ job, inside, file: '' }, takes);
}

function TooManyChannels({ count }: { readonly count: number }) {
  return (
    <p>
      A browser records two channels at a time, and this job has {count} in a file. Set the channels of the
      recorder to 2 under Car and parts, or record with the recorder and drop its files here.
    </p>
  );
}

function SettingField(of: { readonly value: string; readonly onInput: (typed: string) => void }) {
  return (
    <div class="fields">
      <TextField
        label="At volume setting"
        numeric
        help="The highest clean one that the check gives for the first pair."
        {...of}
      />
    </div>
  );
}

/** The levels of the open input, the caution, and the buttons of a take. */
function Recorder({
  input,
  names,
  take,
  file,
  recording,
}: {
  readonly input: Input;
  readonly names: readonly (string | null)[];
  readonly take: Take;
  readonly file: string;
  readonly recording: TakeControl;
}) {
  return (
    <>
      {input.capture!.channelCount < names.length && (
        <p class="trouble" role="alert">
          This input gives one channel, and the take has two: choose another input, or record one output at a
          time (one channel under Car and parts).
        </p>
      )}
      <InputLevels input={input} names={names} />
      {take.play !== 'nothing' && (
        <p class="caution">
          Loud takes with speakers unplugged or a load on, ears protected. Step up from quiet, stop at any
          distress.
        </p>
      )}
      <p class="run">
        {recording.stage === 'idle' ? (
          <button type="button" class="main" disabled={file.includes(OPEN_SETTING)} onClick={recording.start}>
            {take.play === 'nothing' ? 'Record 30 seconds' : 'Listen for the track'}
          </button>
        ) : (
          <>
            <button type="button" class="main" onClick={recording.stop}>
              Stop and keep what was heard
            </button>{' '}
            <button type="button" onClick={recording.giveUp}>
              Discard this take
            </button>
          </>
        )}
      </p>
      <p role="status">{STAGE_WORDS[recording.stage](recording.seconds)}</p>
    </>
  );
}

const STAGE_WORDS: Readonly<Record<TakeControl['stage'], (seconds: number) => string>> = {
  idle: () => '',
  waiting: () => 'Waiting for the track: start it on the radio.',
  hearing: (seconds) => `Hearing it, ${seconds.toFixed(0)} s. It ends by itself.`,
  keeping: () => 'Keeping the take …',
  checking: () => 'Kept. Checking it …',
};
