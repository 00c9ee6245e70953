import { ChoiceField, TextField, TicksField } from './field.tsx';
import { labelOf } from './labels.ts';
import { numberIn } from './number-in.ts';
import { plainHelp } from './plain-help.ts';
import { type Path, pathKey, valueAt, type Written } from './written.ts';

/** The part of JSON Schema that the fields of a session are written in. */
export interface FieldSchema {
  readonly type?: string;
  readonly description?: string;
  readonly default?: unknown;
  readonly enum?: readonly string[];
  readonly properties?: Readonly<Record<string, FieldSchema>>;
  readonly required?: readonly string[];
  readonly items?: FieldSchema;
  readonly prefixItems?: readonly FieldSchema[];
  readonly anyOf?: readonly FieldSchema[];
}

export interface Form {
  readonly written: Written;
  readonly set: (path: Path, value: unknown) => void;
}

/** A field for everything that a group of a session or equipment file may hold, as its description has it. */
export function SchemaFields({
  schema,
  path,
  form,
  except = [],
}: {
  readonly schema: FieldSchema;
  readonly path: Path;
  readonly form: Form;
  readonly except?: readonly string[];
}) {
  const required = schema.required ?? [];
  const names = Object.keys(schema.properties ?? {}).filter((name) => !except.includes(name));
  // What has no default comes first: it has to be filled in.
  const first = names.filter((name) => required.includes(name));
  const further = names.filter((name) => !required.includes(name));
  const field = (name: string) => (
    <SchemaField key={name} schema={schema.properties![name]} path={[...path, name]} form={form} />
  );
  if (first.length === 0) return <div class="fields">{further.map(field)}</div>;
  return (
    <>
      <div class="fields">{first.map(field)}</div>
      {further.length > 0 && (
        <details>
          <summary>More, where known</summary>
          <div class="fields">{further.map(field)}</div>
        </details>
      )}
    </>
  );
}

function SchemaField({
  schema,
  path,
  form,
}: {
  readonly schema: FieldSchema;
  readonly path: Path;
  readonly form: Form;
}) {
  const { label, unit } = labelOf(String(path.at(-1)));
  const inner = withoutNull(schema);
  const value = valueAt(form.written.value, path);
  const help = plainHelp(schema.description ?? inner.description ?? '');
  const fault = form.written.faults.get(pathKey(path));
  // What was not filled in yet is needed, not wrong.
  const isNeeded = value === undefined && fault !== undefined;
  const frame = {
    label,
    unit,
    help: isNeeded ? `Needed. ${help}` : help,
    fault: isNeeded ? undefined : fault,
  };
  if (inner.properties !== undefined) return <Group schema={inner} path={path} form={form} frame={frame} />;
  if (inner.prefixItems !== undefined) return <RangeField path={path} form={form} frame={frame} />;
  if (inner.type === 'array' && inner.items?.enum !== undefined)
    return (
      <TicksField
        {...frame}
        fault={frame.fault ?? form.written.faults.get(pathKey([...path, 0]))}
        value={Array.isArray(value) ? value.map(String) : []}
        choices={inner.items.enum.map((word) => [word, word])}
        onChange={(words) => form.set(path, words.length === 0 ? undefined : words)}
      />
    );
  const words = inner.type === 'boolean' ? (['true', 'false'] as const) : inner.enum;
  if (words !== undefined)
    return (
      <ChoiceField
        {...frame}
        value={value === undefined || value === null ? '' : String(value)}
        choices={[['', usualWords(schema.default)], ...words.map((word) => [word, plainWord(word)] as const)]}
        onChoose={(word) =>
          form.set(path, word === '' ? undefined : inner.type === 'boolean' ? word === 'true' : word)
        }
      />
    );
  const numeric = inner.type === 'number' || inner.type === 'integer';
  return (
    <TextField
      {...frame}
      numeric={numeric}
      value={value === undefined || value === null ? '' : String(value)}
      placeholder={schema.default === undefined || schema.default === null ? '' : String(schema.default)}
      onInput={(text) => form.set(path, text === '' ? undefined : numeric ? (numberIn(text) ?? text) : text)}
    />
  );
}

/** Fields that belong together and may be absent as a whole. */
function Group({
  schema,
  path,
  form,
  frame,
}: {
  readonly schema: FieldSchema;
  readonly path: Path;
  readonly form: Form;
  readonly frame: { readonly label: string; readonly help?: string | undefined };
}) {
  return (
    <fieldset class="group">
      <legend>{frame.label}</legend>
      {frame.help !== undefined && <p class="about">{frame.help}</p>}
      <div class="fields">
        {Object.entries(schema.properties!).map(([name, each]) => (
          <SchemaField key={name} schema={each} path={[...path, name]} form={form} />
        ))}
      </div>
    </fieldset>
  );
}

function RangeField({
  path,
  form,
  frame,
}: {
  readonly path: Path;
  readonly form: Form;
  readonly frame: {
    label: string;
    unit?: string | undefined;
    help?: string | undefined;
    fault?: string | undefined;
  };
}) {
  const value = valueAt(form.written.value, path);
  const ends: readonly unknown[] = Array.isArray(value) ? value : [];
  const setEnd = (end: number, text: string) => {
    const both = [0, 1].map((i) => (i === end ? (numberIn(text) ?? '') : (ends[i] ?? '')));
    form.set(path, both.every((one) => one === '') ? undefined : both);
  };
  const fault =
    frame.fault ??
    form.written.faults.get(pathKey([...path, 0])) ??
    form.written.faults.get(pathKey([...path, 1]));
  return (
    <fieldset class={fault === undefined ? 'range' : 'range wrong'}>
      <legend>
        {frame.label}
        {frame.unit === undefined ? '' : `, ${frame.unit}`}
      </legend>
      {['from', 'to'].map((word, end) => (
        <label key={word}>
          {word}{' '}
          <input
            type="text"
            inputMode="decimal"
            class="short"
            aria-invalid={fault !== undefined}
            value={ends[end] === undefined ? '' : String(ends[end])}
            onInput={({ currentTarget }) => setEnd(end, currentTarget.value)}
          />
        </label>
      ))}
      <p class="about">{fault ?? frame.help}</p>
    </fieldset>
  );
}

function withoutNull(schema: FieldSchema): FieldSchema {
  return schema.anyOf?.find((one) => one.type !== 'null') ?? schema;
}

function usualWords(usual: unknown): string {
  return usual === undefined || usual === null ? 'not stated' : `not stated (${plainWord(String(usual))})`;
}

function plainWord(word: string): string {
  return word === 'true' ? 'yes' : word === 'false' ? 'no' : word;
}
