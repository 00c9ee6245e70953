import { useState } from 'preact/hooks';
import { OPEN_SETTING } from '../../../src/tones/bench-sheet/bench-groups.ts';
import type { Take } from '../../../src/tones/bench-sheet/take-list.ts';
import { ChoiceField, TextField } from '../forms/field.tsx';
import { useJob } from '../job-view.ts';
import { type Job, pathIn } from '../keep/job.ts';
import { InputLevels } from '../parts/input-levels.tsx';
import type { TakeToJudge } from '../sound/judged-take.ts';
import { useSound } from '../sound/sound-view.ts';
import { AnswerOfTake } from './answer-of-take.tsx';
import { channelNames } from './channel-names.ts';
import { GoesOnTick, goesOn } from './goes-on.tsx';
import { InputChoice } from './input-choice.tsx';
import { namedTakes, type StepId, takeAfter, takesOf } from './progress-of-job.ts';
import { TakeButtons } from './take-buttons.tsx';
import { takeWords, whatToPlay } from './take-words.ts';

const LOUD =
  'Loud takes with speakers unplugged or a load on, ears protected. Step up from quiet, stop at any distress.';

/** Takes of one folder of the job, recorded from a sound interface down the list, each checked at once. */
export function RecordTakes({
  step,
  inside = '',
  list,
  caution = LOUD,
}: {
  readonly step: StepId;
  readonly inside?: string;
  /** The takes; those of the session's list where absent. */
  readonly list?: readonly Take[];
  readonly caution?: string | null;
}) {
  const job = useJob();
  const { input, recording } = useSound();
  const takes = namedTakes(list ?? takesOf(job, inside));
  const [chosen, setChosen] = useState<string | null>(null);
  const [setting, setSetting] = useState('');
  const take = takes.find(({ file }) => file === chosen) ?? firstToRecord(job, inside, takes) ?? takes[0];
  const file = take?.file.replace(OPEN_SETTING, setting || '…') ?? '';
  const isOpen = take?.file.includes(OPEN_SETTING) ?? false;
  const names = channelNames(job, inside, take);
  const toJudge = (one: Take, oneFile: string): TakeToJudge => ({
    job,
    step,
    inside,
    file: oneFile,
    play: one.play,
    channelCount: channelNames(job, inside, one).length,
    input,
    onGood() {
      const next = takeAfter({ job, inside, file: one.file }, takes);
      setChosen(next?.file ?? one.file);
      return {
        next: next === null ? 'check all recordings together' : takeWords(next, false),
        goesOnWith: next !== null && goesOn(job, inside, [one, next]) ? toJudge(next, next.file) : null,
      };
    },
  });
  const start = () => {
    // Also where it turns out bad, and is there: it stays the one to record.
    setChosen(take.file);
    recording.start(toJudge(take, file));
  };
  if (!takes.some(({ setting }) => typeof setting === 'number') && list === undefined)
    return <p>The takes are named once volume settings and outputs are filled in under Car and parts.</p>;
  if (names.length > 2) return <TooManyChannels count={names.length} />;
  const isThere = (one: string) => job.files.has(pathIn(inside, one));
  const isGood = (one: string) => job.hasTake(pathIn(inside, one));
  const isNext = takes.some((one) => !isGood(one.file));
  const running = recording.stage === 'idle' ? null : recording.of;
  if (running !== null && running.step !== step)
    return (
      <p>
        Another take is being recorded: <strong>{running.file}</strong>. It ends by itself.
      </p>
    );
  return (
    <>
      <InputChoice input={input} main={isNext} />
      {running === null && (
        <>
          <div class="fields wide">
            <ChoiceField
              label="Take"
              value={take.file}
              choices={takes.map((one) => [one.file, takeWords(one, isGood(one.file))])}
              onChoose={setChosen}
            />
          </div>
          {isOpen && <SettingField value={setting} onInput={setSetting} />}
        </>
      )}
      <p>
        {whatToPlay(job, inside, takes.find((one) => one.file === running?.file) ?? take, setting)} It is kept
        as <strong>{running?.file ?? file}</strong>
        {names.length > 0 && `: ${names.map((name, i) => `channel ${i + 1} ${name ?? 'unused'}`).join(', ')}`}
        .{running === null && isThere(file) && ' The one that is there is replaced.'}
      </p>
      {input.capture !== null && input.capture.channelCount < names.length && <OneChannelOnly />}
      {input.capture !== null && (
        <TakeButtons
          recording={recording}
          plays={take.play !== 'nothing'}
          caution={caution}
          main={isNext}
          onStart={isOpen && !isSetting(setting) ? null : start}
        />
      )}
      {input.capture !== null && take.play !== 'nothing' && takes.length > 1 && <GoesOnTick job={job} />}
      {recording.of?.step === step && recording.answer !== null && <AnswerOfTake answer={recording.answer} />}
      {input.capture !== null && <InputLevels input={input} names={names} />}
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

function OneChannelOnly() {
  return (
    <p class="trouble" role="alert">
      This input gives one channel, and the take has two: choose another input, or record one output at a time
      (one channel under Car and parts).
    </p>
  );
}

/** As it stands in the name of a file. */
function isSetting(typed: string): boolean {
  return /^-?\d+(\.\d+)?$/.test(typed);
}
