import { z } from 'zod';
import { equipmentSchema } from '../../../src/model/equipment.ts';
import { type FieldSchema, type Form, SchemaFields } from '../forms/schema-fields.tsx';
import { valueAt } from '../forms/written.ts';
import { useJob } from '../job-view.ts';
import { saveFile } from '../keep/save-file.ts';
import { equipmentFileOf, equipmentForm } from './equipment-form.ts';

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
      <p class="buttons">
        {PARTS.map((part) => (
          <AddPart key={part.field} part={part} form={form} />
        ))}
      </p>
      {job.files.has(equipmentFileOf(job)) && (
        <p class="files">
          <button
            type="button"
            onClick={() =>
              saveFile(equipmentFileOf(job).replace(/^.*\//, ''), job.files.get(equipmentFileOf(job))!)
            }
          >
            Save the equipment file
          </button>
        </p>
      )}
    </>
  );
}

function PartFields({ part, form }: { readonly part: Part; readonly form: Form }) {
  const { field, one, many } = part;
  const value = valueAt(form.written.value, [field]);
  const count = countOf(part, value);
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
    </>
  );
}

function AddPart({ part, form }: { readonly part: Part; readonly form: Form }) {
  const { field, one, many, begins } = part;
  const count = countOf(part, valueAt(form.written.value, [field]));
  if (count > 0 && !many) return null;
  return (
    <button type="button" onClick={() => form.set(many ? [field, count] : [field], begins)}>
      Add {count === 0 ? '' : 'another '}
      {one}
    </button>
  );
}

function countOf({ many }: Part, value: unknown): number {
  if (many) return Array.isArray(value) ? value.length : 0;
  return value == null ? 0 : 1;
}

function objectIn(schema: FieldSchema): FieldSchema {
  return schema.anyOf?.find(({ properties }) => properties !== undefined) ?? schema;
}
