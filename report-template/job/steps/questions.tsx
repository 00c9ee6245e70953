import { SteptoneError } from '../../../src/model/errors.ts';
import { NEW_SESSION_DEFAULTS, newSession } from '../../../src/model/new-session.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';
import { ChoiceField, TextField, TicksField } from '../forms/field.tsx';
import { entriesOf } from '../forms/written.ts';
import { sessionForm } from '../job-view.ts';
import type { Job } from '../keep/job.ts';

const USUAL_OUTPUTS = [
  'front-left',
  'front-right',
  'rear-left',
  'rear-right',
  'dash-left',
  'dash-right',
  'centre',
  'subwoofer',
] as const;

interface Answers {
  readonly settings: string;
  readonly taps: string;
  readonly channels: string;
}

/** The questions of `new`. What cannot be read yet is kept as it was typed. */
export function Questions({ job }: { readonly job: Job }) {
  const form = sessionForm(job);
  const session = form.written.value as SessionInput;
  const typed = { ...answersOf(session), ...job.noted<Partial<Answers>>('answers') };
  const faults = faultsOf(typed);
  const answer: Answering['answer'] = (field, text) => {
    const answers = { ...typed, [field]: text };
    job.note('answers', answers);
    applyAnswers({ job, answers, field });
  };
  return (
    <>
      <div class="fields">
        <TextField
          label="Car and radio"
          value={String(session.name ?? '')}
          placeholder={NEW_SESSION_DEFAULTS.name}
          onInput={(text) => form.set(['name'], text === '' ? undefined : text)}
        />
        <TextField
          label="Volume settings to record"
          value={typed.settings}
          help="Needed: from-to/step, such as 10-38/4, or with commas."
          fault={typed.settings === '' ? undefined : faults.settings}
          onInput={(text) => answer('settings', text)}
        />
      </div>
      <OutputsOfRadio typed={typed} fault={faults.taps} answer={answer} />
      <div class="fields">
        <ChoiceField
          label="What comes out"
          value={String(session.level ?? '')}
          choices={[
            ['', 'not known'],
            ['speaker', 'speaker level'],
            ['line', 'line level'],
          ]}
          help="Speaker level feeds a speaker; line level feeds an amplifier."
          onChoose={(level) => form.set(['level'], level === '' ? undefined : level)}
        />
        <ChoiceField
          label="Channels of the recorder"
          value={typed.channels}
          choices={['1', '2', '4', '6', '8'].map((count) => [count, count])}
          help="This page records one or two at a time; files of a hand recorder may hold more."
          fault={faults.channels}
          onChoose={(count) => answer('channels', count)}
        />
      </div>
    </>
  );
}

interface Answering {
  readonly typed: Answers;
  readonly fault: string | undefined;
  readonly answer: (field: keyof Answers, text: string) => void;
}

/** The usual ones are ticked, others written. */
function OutputsOfRadio({ typed, fault, answer }: Answering) {
  const taps = typed.taps
    .split(',')
    .map((tap) => tap.trim())
    .filter((tap) => tap !== '');
  const others = taps.filter((tap) => !USUAL_OUTPUTS.some((usual) => usual === tap));
  const usual = taps.filter((tap) => !others.includes(tap));
  return (
    <>
      <TicksField
        label="Outputs of the radio"
        help="Needed: those that you record, or others by name."
        value={taps}
        choices={USUAL_OUTPUTS.map((tap) => [tap, tap.replace('-', ' ')])}
        onChange={(chosen) => answer('taps', [...chosen, ...others].join(', '))}
      />
      <TextField
        label="Other outputs"
        value={others.join(', ')}
        help="Names with commas between; a name with left, right, front, rear in it tells its place."
        fault={typed.taps === '' ? undefined : fault}
        onInput={(text) => answer('taps', [...usual, text].filter(Boolean).join(', '))}
      />
    </>
  );
}

function answersOf({ settings, taps, channels, recordings }: SessionInput): Answers {
  const names = entriesOf<string | { id: string }>(taps ?? channels).map((tap) =>
    typeof tap === 'string' ? tap : tap.id,
  );
  const [first] = entriesOf(recordings).flatMap((one) =>
    typeof one === 'object' && one?.channels !== undefined ? [one.channels.length] : [],
  );
  return {
    settings: settings === undefined ? '' : Array.isArray(settings) ? settings.join(', ') : String(settings),
    taps: names.join(', '),
    channels: String(first ?? (entriesOf(channels).length || NEW_SESSION_DEFAULTS.channels)),
  };
}

function faultsOf(answers: Answers): Partial<Record<keyof Answers, string>> {
  const readable = { ...NEW_SESSION_DEFAULTS, settings: '10', taps: 'a' };
  const faults: Partial<Record<keyof Answers, string>> = {};
  for (const field of ['settings', 'taps', 'channels'] as const) {
    try {
      newSession({ ...readable, [field]: answers[field] });
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
      const { expected, found, nextStep } = error.parts;
      faults[field] = `Expected ${expected}, found ${found}. Next: ${nextStep}.`;
    }
  }
  return faults;
}

/** Writes into the session what one answer says, as far as it can be read. */
function applyAnswers(of: { job: Job; answers: Answers; field: keyof Answers }): void {
  const { job, answers, field } = of;
  if (faultsOf(answers)[field] !== undefined) return;
  const form = sessionForm(job);
  if (field === 'settings') form.set(['settings'], answers.settings.trim());
  else applyOutputs(job, answers);
}

function applyOutputs(job: Job, answers: Answers): void {
  const form = sessionForm(job);
  const before = form.written.value as SessionInput;
  if (answers.taps.trim() === '') return;
  const planned = newSession({ ...NEW_SESSION_DEFAULTS, ...answers, settings: '10' });
  const details = new Map(
    entriesOf(before.taps).flatMap((tap) => (typeof tap === 'string' ? [] : [[tap.id, tap] as const])),
  );
  form.set(
    ['taps'],
    (planned.taps as string[]).map((id) => details.get(id) ?? id),
  );
  for (const list of ['channels', 'recordings'] as const) sessionForm(job).set([list], planned[list]);
}
