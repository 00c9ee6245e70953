import { useState } from 'preact/hooks';
import { z } from 'zod';
import { SteptoneError } from '../../../src/model/errors.ts';
import { NEW_SESSION_DEFAULTS, newSession } from '../../../src/model/new-session.ts';
import { type SessionInput, sessionInputSchema, type TapInput } from '../../../src/model/session-input.ts';
import { ChoiceField, TextField, TicksField } from '../forms/field.tsx';
import { type FieldSchema, SchemaFields } from '../forms/schema-fields.tsx';
import { pathKey, valueAt } from '../forms/written.ts';
import { sessionForm, useJob } from '../job-view.ts';
import type { Job } from '../keep/job.ts';
import { saveFile } from '../keep/save-file.ts';
import { Cautions } from '../parts/cautions.tsx';
import { PartsForm } from './parts-form.tsx';

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

const SESSION_SCHEMA = z.toJSONSchema(sessionInputSchema, { io: 'input' }) as unknown as FieldSchema;

/** Car and parts: the questions of a new job, what is noted of each output, and the parts. */
export function CarStep() {
  const job = useJob();
  const form = sessionForm(job);
  if (form.written.notReadable !== null)
    return (
      <p class="trouble" role="alert">
        {job.sessionFile()} cannot be read: {form.written.notReadable}. Correct it in a text editor, and drop
        it here again.
      </p>
    );
  const session = form.written.value as SessionInput;
  const fault = (...path: (string | number)[]) => form.written.faults.get(pathKey(path));
  return (
    <>
      <Questions job={job} />
      <Calibration job={job} />
      <h3>How it is played and fed</h3>
      <div class="fields">
        <TextField
          label="Played from"
          value={String(session.source ?? '')}
          placeholder="USB stick"
          help="A highest clean setting holds for this source only."
          fault={fault('source')}
          onInput={(text) => form.set(['source'], text === '' ? undefined : text)}
        />
        <TextField
          label="Supply at the radio"
          unit="V"
          numeric
          value={String(session.supply?.volts ?? '')}
          help="While recording. Not stated: the level at which it clips is not held against it."
          fault={fault('supply', 'volts')}
          onInput={(text) => form.set(['supply', 'volts'], numberOr(text))}
        />
      </div>
      <details>
        <summary>Tone, fade and balance off centre</summary>
        <SchemaFields schema={SESSION_SCHEMA.properties!.controls} path={['controls']} form={form} />
      </details>
      <Outputs job={job} />
      <PartsForm />
      <Cautions moment={0} />
      <p class="files">
        {job.sessionFile() !== null && (
          <button
            type="button"
            onClick={() => saveFile(job.sessionFile()!, job.files.get(job.sessionFile()!)!)}
          >
            Save the session file
          </button>
        )}
      </p>
    </>
  );
}

interface Answers {
  readonly settings: string;
  readonly taps: string;
  readonly channels: string;
}

/** The questions of `new`. What cannot be read yet is kept as it was typed. */
function Questions({ job }: { readonly job: Job }) {
  const form = sessionForm(job);
  const session = form.written.value as SessionInput;
  const typed = { ...answersOf(session), ...job.noted<Partial<Answers>>('answers') };
  const faults = faultsOf(typed);
  const answer = (field: keyof Answers, text: string) => {
    const answers = { ...typed, [field]: text };
    job.note('answers', answers);
    applyAnswers({ job, answers, field });
  };
  const taps = typed.taps
    .split(',')
    .map((tap) => tap.trim())
    .filter((tap) => tap !== '');
  const others = taps.filter((tap) => !USUAL_OUTPUTS.some((usual) => usual === tap));
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
          help="From-to/step, such as 10-38/4, or with commas."
          fault={typed.settings === '' ? undefined : faults.settings}
          onInput={(text) => answer('settings', text)}
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
      <TicksField
        label="Outputs of the radio"
        value={taps}
        choices={USUAL_OUTPUTS.map((tap) => [tap, tap.replace('-', ' ')])}
        onChange={(chosen) => answer('taps', [...chosen, ...others].join(', '))}
      />
      <TextField
        label="Other outputs"
        value={others.join(', ')}
        help="Names with commas between; a name with left, right, front, rear in it tells its place."
        fault={typed.taps === '' ? undefined : faults.taps}
        onInput={(text) =>
          answer('taps', [...taps.filter((tap) => !others.includes(tap)), text].filter(Boolean).join(', '))
        }
      />
    </>
  );
}

function answersOf({ settings, taps, channels, recordings }: SessionInput): Answers {
  const names = (taps ?? channels ?? []).map((tap) => (typeof tap === 'string' ? tap : (tap?.id ?? '-')));
  const [first] = (Array.isArray(recordings) ? recordings : []).flatMap((one) =>
    typeof one === 'object' && one?.channels !== undefined ? [one.channels.length] : [],
  );
  return {
    settings: settings === undefined ? '' : Array.isArray(settings) ? settings.join(', ') : String(settings),
    taps: names.join(', '),
    channels: String(first ?? (channels === undefined ? NEW_SESSION_DEFAULTS.channels : channels.length)),
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
    (before.taps ?? []).flatMap((tap) => (typeof tap === 'string' ? [] : [[tap.id, tap] as const])),
  );
  form.set(
    ['taps'],
    (planned.taps as string[]).map((id) => details.get(id) ?? id),
  );
  for (const list of ['channels', 'recordings'] as const) sessionForm(job).set([list], planned[list]);
}

const CALIBRATIONS = [
  ['none', 'not known yet: levels stay relative'],
  ['pad', 'from the pad and the recorder'],
  ['tone', 'from a meter tone: recorded, and read on a meter'],
] as const;

/** How full scale becomes volts. */
function Calibration({ job }: { readonly job: Job }) {
  const form = sessionForm(job);
  const written = valueAt(form.written.value, ['calibration']);
  const kind = (typeof written === 'object' ? String(valueAt(written, ['kind'])) : written) ?? 'none';
  const field = (name: string, label: string, unit: string, help: string) => (
    <TextField
      key={name}
      label={label}
      unit={unit}
      help={help}
      numeric={name !== 'file'}
      value={String(valueAt(written, [name]) ?? '')}
      fault={form.written.faults.get(`calibration.${name}`)}
      onInput={(text) => form.set(['calibration', name], name === 'file' ? text : numberOr(text))}
    />
  );
  return (
    <>
      <h3>Volts</h3>
      <div class="fields">
        <ChoiceField
          label="Volts are known"
          value={String(kind)}
          choices={CALIBRATIONS}
          onChoose={(chosen) => form.set(['calibration'], chosen === 'none' ? 'none' : { kind: chosen })}
        />
        {kind === 'pad' && [
          field(
            'padRatio',
            'Pad ratio',
            '',
            'Volts at the output over volts at the recorder: 11 for 10 k over 1 k.',
          ),
          field(
            'fullScaleVoltsRms',
            'Full scale of the recorder',
            'V RMS',
            'Of a sine that just reaches full scale, with the gain as it stands.',
          ),
        ]}
        {kind === 'tone' && [
          field('file', 'Recording of the tone', '', 'A meter tone as recorded, such as tone.wav.'),
          field('voltsRms', 'The meter read', 'V RMS', 'At the output while the tone was recorded.'),
        ]}
      </div>
    </>
  );
}

const TAP_CHOICES = {
  load: ['speaker', 'resistor', 'nothing', 'unknown'],
  connection: ['pair', 'one leg'],
} as const;

/** What is noted of each output: what hangs on it, and how it is found again. */
function Outputs({ job }: { readonly job: Job }) {
  const form = sessionForm(job);
  const taps = (form.written.value as SessionInput).taps ?? [];
  const [open, setOpen] = useState<string | null>(null);
  if (!Array.isArray(taps) || taps.length === 0) return null;
  return (
    <>
      <h3>Each output</h3>
      {taps.map((tap, i) => {
        const id = typeof tap === 'string' ? tap : tap.id;
        const set = (path: readonly string[], text: string | undefined) => {
          if (typeof tap === 'string') form.set(['taps', i], { id });
          sessionForm(job).set(['taps', i, ...path], text === '' ? undefined : text);
        };
        const wire = (side: 'plus' | 'minus', words: string) => {
          const noted = typeof tap === 'string' ? undefined : tap[side];
          const { colour, pin } = typeof noted === 'object' ? noted : { colour: noted, pin: undefined };
          const setWire = (part: 'colour' | 'pin', text: string) => {
            const both = { colour, pin: pin === undefined ? undefined : String(pin), [part]: text };
            const filled = Object.fromEntries(Object.entries(both).filter(([, one]) => one));
            if (typeof tap === 'string') form.set(['taps', i], { id });
            sessionForm(job).set(['taps', i, side], Object.keys(filled).length === 0 ? undefined : filled);
          };
          return [
            <TextField
              key={`${side} colour`}
              label={`${words} wire, colour`}
              value={colour ?? ''}
              onInput={(text) => setWire('colour', text)}
            />,
            <TextField
              key={`${side} pin`}
              label={`${words} wire, pin`}
              value={pin === undefined ? '' : String(pin)}
              onInput={(text) => setWire('pin', text)}
            />,
          ];
        };
        return (
          <details
            key={id}
            open={open === id}
            onToggle={({ currentTarget }) => currentTarget.open && setOpen(id)}
          >
            <summary>{id}</summary>
            <div class="fields">
              {(['load', 'connection'] as const).map((name) => (
                <ChoiceField
                  key={name}
                  label={name === 'load' ? 'Connected to it' : 'Recorded across'}
                  value={String(valueAt(tap, [name]) ?? '')}
                  choices={[
                    ['', name === 'load' ? 'not stated' : 'not stated (pair)'],
                    ...TAP_CHOICES[name].map((word) => [word, word] as const),
                  ]}
                  onChoose={(word) => set([name], word)}
                />
              ))}
              {wire('plus', 'Plus')}
              {wire('minus', 'Minus')}
              {(['connector', 'note'] as const).map((name) => (
                <TextField
                  key={name}
                  label={name === 'connector' ? 'Plug' : 'Note'}
                  value={String(valueAt(tap as TapInput, [name]) ?? '')}
                  fault={form.written.faults.get(pathKey(['taps', i, name]))}
                  onInput={(text) => set([name], text)}
                />
              ))}
            </div>
          </details>
        );
      })}
    </>
  );
}

function numberOr(text: string): number | string | undefined {
  const trimmed = text.trim();
  if (trimmed === '') return undefined;
  const value = Number(trimmed.replace(',', '.'));
  return Number.isFinite(value) && !/[.,]$/.test(trimmed) ? value : text;
}
