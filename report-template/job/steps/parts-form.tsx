import { z } from 'zod';
import { equipmentSchema } from '../../../src/model/equipment.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';
import { type FieldSchema, type Form, SchemaFields } from '../forms/schema-fields.tsx';
import { readWritten, valueAt, withField } from '../forms/written.ts';
import { sessionForm, useJob } from '../job-view.ts';
import type { Job } from '../keep/job.ts';
import { saveFile } from '../keep/save-file.ts';

const SCHEMA = z.toJSONSchema(equipmentSchema, { io: 'input' }) as unknown as FieldSchema;

interface Part {
  readonly field: string;
  readonly one: string;
  /** Any number of them. */
  readonly many: boolean;
  /** What a new one says already. */
  readonly begins: Readonly<Record<string, unknown>>;
}

const PARTS: readonly Part[] = [
  { field: 'converter', one: 'converter', many: false, begins: { name: 'converter' } },
  { field: 'amplifiers', one: 'amplifier', many: true, begins: { feeds: ['front'] } },
  { field: 'speakers', one: 'speaker', many: true, begins: { feeds: 'front' } },
  { field: 'woofer', one: 'woofer', many: false, begins: { name: 'woofer' } },
  { field: 'supplyWire', one: 'supply wire', many: false, begins: { metal: 'copper' } },
];

/** The parts that are in the car or meant for it, in a file of their own or in the session, where they stand there. */
export function PartsForm() {
  const job = useJob();
  const form = equipmentForm(job);
  return (
    <>
      <h3>Parts</h3>
      <p class="about">
        What is left out is taken from an example class, and the sheets say so. Add what is bought or in the
        car.
      </p>
      {form.written.notReadable !== null && (
        <p class="trouble" role="alert">
          The equipment file cannot be read: {form.written.notReadable}.
        </p>
      )}
      {PARTS.map((part) => (
        <PartFields key={part.field} part={part} form={form} />
      ))}
      {job.files.has(fileOf(job)) && (
        <p class="files">
          <button
            type="button"
            onClick={() => saveFile(fileOf(job).replace(/^.*\//, ''), job.files.get(fileOf(job))!)}
          >
            Save the equipment file
          </button>
        </p>
      )}
    </>
  );
}

function PartFields({ part, form }: { readonly part: Part; readonly form: Form }) {
  const { field, one, many, begins } = part;
  const value = valueAt(form.written.value, [field]);
  const count = many ? (Array.isArray(value) ? value.length : 0) : value == null ? 0 : 1;
  const schema = many ? SCHEMA.properties![field].items! : objectIn(SCHEMA.properties![field]);
  const path = (i: number) => (many ? [field, i] : [field]);
  const remove = (i: number) =>
    form.set([field], many && count > 1 ? (value as unknown[]).filter((_, at) => at !== i) : undefined);
  return (
    <>
      {Array.from({ length: count }, (_, i) => (
        <fieldset class="part" key={i}>
          <legend>
            {one}
            {many && count > 1 ? ` ${i + 1}` : ''}
          </legend>
          <SchemaFields schema={schema} path={path(i)} form={form} />
          <button type="button" onClick={() => remove(i)}>
            Take this {one} out
          </button>
        </fieldset>
      ))}
      {(many || count === 0) && (
        <button type="button" class="add" onClick={() => form.set(path(count), begins)}>
          Add {count === 0 ? '' : 'another '}
          {one}
        </button>
      )}{' '}
    </>
  );
}

function equipmentForm(job: Job): Form {
  const session = sessionForm(job);
  if (valueAt(session.written.value, ['equipment']) != null)
    return {
      written: {
        value: valueAt(session.written.value, ['equipment']) as Record<string, unknown>,
        notReadable: null,
        faults: new Map(
          [...session.written.faults]
            .filter(([path]) => path.startsWith('equipment.'))
            .map(([path, fault]) => [path.slice('equipment.'.length), fault]),
        ),
      },
      set: (path, value) => session.set(['equipment', ...path], value),
    };
  const name = fileOf(job);
  const text = job.texts.get(name) ?? '';
  return {
    written: readWritten(text, equipmentSchema),
    set(path, value) {
      const changed = withField(text, path, value);
      if (changed.trim() === '') {
        void job.drop([name]);
        session.set(['equipmentFile'], undefined);
        return;
      }
      job.write(name, changed);
      if (valueAt(session.written.value, ['equipmentFile']) === undefined)
        session.set(['equipmentFile'], name);
    },
  };
}

function fileOf(job: Job): string {
  const { equipmentFile } = sessionForm(job).written.value as SessionInput;
  return job.equipmentFile(typeof equipmentFile === 'string' ? equipmentFile : undefined);
}

function objectIn(schema: FieldSchema): FieldSchema {
  return schema.anyOf?.find(({ properties }) => properties !== undefined) ?? schema;
}
