import { useState } from 'preact/hooks';
import { recordingKindOf } from '../../../src/model/recording-kind.ts';
import { isSeatKind } from '../../../src/model/session.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';
import type { Take } from '../../../src/tones/bench-sheet/take-list.ts';
import { ChoiceField, TextField } from '../forms/field.tsx';
import { listed } from '../forms/written.ts';
import { useJob, writtenSession } from '../job-view.ts';
import { type Job, pathIn } from '../keep/job.ts';
import { InputLevels } from '../parts/input-levels.tsx';
import { Trouble } from '../parts/running.tsx';
import { type Input, useInput } from '../sound/use-input.ts';
import { type TakeAnswer, useTake } from '../sound/use-take.ts';
import { namedTakes, takeAfter, takesOf } from './progress-of-job.ts';

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
  const file = take?.file.replace('___', setting) ?? '';
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
  if (names.length > 2)
    return (
      <p>
        A browser records two channels at a time, and this job has {names.length} in a file. Set the channels
        of the recorder to 2 under Car and parts, or record with the recorder and drop its files here.
      </p>
    );
  return (
    <>
      <InputChoice input={input} />
      <ChoiceField
        label="Take"
        value={take.file}
        choices={takes.map((one) => [one.file, takeWords(one, job.files.has(pathIn(inside, one.file)))])}
        onChoose={setChosen}
      />
      <div class="fields">
        {take.file.includes('___') && (
          <TextField
            label="At volume setting"
            numeric
            value={setting}
            help="The highest clean one that the check gives for the first pair."
            onInput={setSetting}
          />
        )}
      </div>
      <p>
        {take.play === 'nothing'
          ? 'Play nothing.'
          : `${volumeWords(take.setting ?? setting)}lay the ${take.play === 'full track' ? 'full' : 'response-only'} track${sourceWords(job, inside, take)}.`}{' '}
        It is kept as <strong>{file}</strong>
        {names.length > 0 && `: ${names.map((name, i) => `channel ${i + 1} ${name ?? 'unused'}`).join(', ')}`}
        .{job.files.has(pathIn(inside, file)) && ' The one that is there is replaced.'}
      </p>
      {input.capture !== null && (
        <>
          {input.capture.channelCount < names.length && (
            <p class="trouble" role="alert">
              This input gives one channel, and the take has two: choose another input, or record one output
              at a time (one channel under Car and parts).
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
              <button type="button" class="main" disabled={file.includes('___')} onClick={recording.start}>
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
      )}
      {recording.answer !== null && <AnswerOfTake answer={recording.answer} />}
    </>
  );
}

const STAGE_WORDS: Readonly<Record<ReturnType<typeof useTake>['stage'], (seconds: number) => string>> = {
  idle: () => '',
  waiting: () => 'Waiting for the track: start it on the radio.',
  hearing: (seconds) => `Hearing it, ${seconds.toFixed(0)} s. It ends by itself.`,
  keeping: () => 'Keeping the take …',
  checking: () => 'Kept. Checking it …',
};

function InputChoice({ input }: { readonly input: Input }) {
  return (
    <>
      <div class="fields">
        <ChoiceField
          label="Sound interface"
          value={input.deviceId}
          choices={[
            ['', 'the system’s choice'],
            ...input.devices.map(({ id, label }) => [id, label] as const),
          ]}
          help={input.devices.length === 0 ? 'The names appear once an input has been opened.' : undefined}
          onChoose={input.choose}
        />
      </div>
      {input.capture === null ? (
        <button type="button" class="main" onClick={input.open}>
          Open the input
        </button>
      ) : (
        <p>
          {input.capture.device || 'The input'} is open: {input.capture.sampleRateHz} Hz,{' '}
          {input.capture.channelCount === 1 ? 'one channel' : `${input.capture.channelCount} channels`}.{' '}
          <button type="button" onClick={input.close}>
            Close it
          </button>
        </p>
      )}
      {(input.capture?.processing ?? []).map((what) => (
        <p key={what} class="trouble" role="alert">
          Something changes the sound on its way: {what}. Turn it off in the system’s sound settings, or use
          another browser or interface. Do not trust takes recorded like this.
        </p>
      ))}
      {input.trouble !== null && (
        <p class="trouble" role="alert">
          {input.trouble}
        </p>
      )}
    </>
  );
}

function AnswerOfTake({ answer }: { readonly answer: TakeAnswer }) {
  return (
    <div class={answer.good ? 'verdict' : 'verdict again'} role="status">
      <p>
        <strong>{answer.good ? 'Good' : 'Again'}</strong>: {answer.file}
      </p>
      {answer.said.length > 0 && (
        <ul>
          {answer.said.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
      {answer.error !== null && <Trouble error={answer.error} />}
      <p>Next: {answer.next}.</p>
    </div>
  );
}

/** The radio's own takes come first; those that prove the recorder are there to be chosen. */
function firstToRecord(job: Job, inside: string, takes: readonly Take[]): Take | null {
  const ofRadio = takes.filter(({ setting }) => typeof setting === 'number');
  return takeAfter({ job, inside, file: '' }, ofRadio) ?? takeAfter({ job, inside, file: '' }, takes);
}

/** Of a take from another source than the rest: what plays it. */
function sourceWords(job: Job, inside: string, { file }: Take): string {
  if (recordingKindOf(file) !== 'other source') return '';
  const { otherSource } = writtenSession(job, inside).value as SessionInput;
  return ` from ${otherSource ?? 'the customer’s own source'}`;
}

function volumeWords(setting: number | string): string {
  return setting === 'none' || setting === '' ? 'P' : `Set the volume to ${setting}, and p`;
}

function takeWords({ what, setting, file }: Take, isThere: boolean): string {
  const at = typeof setting === 'number' ? ` at ${setting}` : '';
  const kind = recordingKindOf(file);
  const optional = kind === 'loop' || kind === 'shorted' || kind === 'other source' ? 'Optional: ' : '';
  return `${isThere ? '✓ ' : ''}${optional}${what}${at} (${file})`;
}

/** The taps on the channels of a take, by the session. */
function channelNames(
  job: Parameters<typeof writtenSession>[0],
  inside: string,
  take: Take | undefined,
): (string | null)[] {
  if (take !== undefined && isSeatKind(recordingKindOf(take.file))) return ['microphone'];
  const session = writtenSession(job, inside).value as SessionInput;
  const forms = listed(session.recordings).flatMap((one) => (typeof one === 'string' ? [] : [one]));
  const own = forms.find(({ file }) => take !== undefined && matches(file, take.file));
  const first = forms[0]?.channels ?? session.channels ?? session.taps;
  const names = own?.channels ?? first;
  return (Array.isArray(names) ? names : []).map((name: unknown) =>
    typeof name === 'object' ? ((name as { id?: string } | null)?.id ?? null) : String(name),
  );
}

function matches(pattern: string, file: string): boolean {
  const [start, end] = pattern.split('*');
  return end === undefined ? pattern === file : file.startsWith(start) && file.endsWith(end);
}
