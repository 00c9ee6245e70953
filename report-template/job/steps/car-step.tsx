import { z } from 'zod';
import { type SessionInput, sessionInputSchema } from '../../../src/model/session-input.ts';
import { TextField } from '../forms/field.tsx';
import { labelOf } from '../forms/labels.ts';
import { numberIn } from '../forms/number-in.ts';
import { type FieldSchema, SchemaFields } from '../forms/schema-fields.tsx';
import { pathKey, type Written, wrongIn } from '../forms/written.ts';
import { sessionForm, useJob } from '../job-view.ts';
import type { Job } from '../keep/job.ts';
import { saveFile } from '../keep/save-file.ts';
import { Cautions } from '../parts/cautions.tsx';
import { CalibrationFields } from './calibration-fields.tsx';
import { OutputNotes } from './output-notes.tsx';
import { PartsForm } from './parts-form.tsx';
import { Questions } from './questions.tsx';

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
  return (
    <>
      <Faults written={form.written} />
      <Questions job={job} />
      <p>The first take needs no more. What follows can wait until the analysis.</p>
      <CalibrationFields job={job} />
      <PlayedAndFed job={job} />
      <OutputNotes job={job} />
      <PartsForm />
      <Cautions moment={0} />
      <SaveSession job={job} />
    </>
  );
}

function PlayedAndFed({ job }: { readonly job: Job }) {
  const form = sessionForm(job);
  const session = form.written.value as SessionInput;
  const fault = (...path: (string | number)[]) => form.written.faults.get(pathKey(path));
  return (
    <>
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
          label="Also played from"
          value={session.otherSource ?? ''}
          placeholder="such as a phone"
          help="One more take at the middle setting tells how loud and how well it plays."
          fault={fault('otherSource')}
          onInput={(text) => form.set(['otherSource'], text === '' ? undefined : text)}
        />
        <TextField
          label="Supply at the radio"
          unit="V"
          numeric
          value={String(session.supply?.volts ?? '')}
          help="While recording. It tells whether the radio clips at its supply or before."
          fault={fault('supply', 'volts')}
          onInput={(text) => form.set(['supply', 'volts'], numberIn(text))}
        />
      </div>
      <details>
        <summary>Where tone, fade and balance stood (0 is centre)</summary>
        <SchemaFields schema={SESSION_SCHEMA.properties!.controls} path={['controls']} form={form} />
      </details>
    </>
  );
}

function SaveSession({ job }: { readonly job: Job }) {
  const file = job.sessionFile();
  return (
    <p class="files">
      {file !== null && (
        <button type="button" onClick={() => saveFile(file, job.files.get(file)!)}>
          Save the session file
        </button>
      )}
    </p>
  );
}

/** Everything that is wrong in the session, also where no field stands for it. */
function Faults({ written }: { readonly written: Written }) {
  const faults = wrongIn(written);
  if (faults.length === 0) return null;
  return (
    <div class="trouble" role="status">
      <p>To put right in the session:</p>
      <ul>
        {faults.map(([path, fault]) => (
          <li key={path}>
            {placeOf(path)}: {fault}
          </li>
        ))}
      </ul>
    </div>
  );
}

/** A field by its label, where it has one, and by its place in the file. */
function placeOf(path: string): string {
  const { label, isGiven } = labelOf(path.replace(/^.*\./, ''));
  return isGiven ? `${label} (${path})` : path;
}
