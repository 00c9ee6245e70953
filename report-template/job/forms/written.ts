import { type Document, parseDocument } from 'yaml';
import type { z } from 'zod';
import { fieldFault } from '../../../src/model/field-fault.ts';

export type Path = readonly (string | number)[];

/** A session or equipment file as it stands, with what is wrong in it. */
export interface Written {
  readonly value: Readonly<Record<string, unknown>>;
  /** Where it is no YAML at all; forms cannot change it then. */
  readonly notReadable: string | null;
  /** What is wrong with a field, by its path. */
  readonly faults: ReadonlyMap<string, string>;
}

export function readWritten(text: string, schema: z.ZodType): Written {
  const known = lastRead.get(schema)?.get(text);
  if (known !== undefined) return known;
  const read = readAnew(text, schema);
  // A step asks several times for each of the few files that a job has.
  const texts = lastRead.get(schema) ?? new Map<string, Written>();
  if (texts.size >= MOST_REMEMBERED) texts.clear();
  lastRead.set(schema, texts.set(text, read));
  return read;
}

const MOST_REMEMBERED = 8;
const lastRead = new Map<z.ZodType, Map<string, Written>>();

function readAnew(text: string, schema: z.ZodType): Written {
  const document = parseDocument(text, { prettyErrors: false });
  const value = document.errors.length > 0 ? null : (document.toJS() ?? {});
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return {
      value: {},
      notReadable: document.errors[0]?.message ?? 'it holds no fields',
      faults: new Map(),
    };
  const { error } = schema.safeParse(value);
  const faults = (error?.issues ?? []).map((issue) => {
    const { path, expected, found, hint } = fieldFault({
      error: { issues: [issue] } as unknown as z.ZodError,
      value,
    });
    return [
      pathKey(path as Path),
      `Expected ${expected}, found ${found}.${hint === null ? '' : ` ${hint}.`}`,
    ];
  });
  return { value, notReadable: null, faults: new Map(faults as [string, string][]) };
}

/** What is wrong, without what was only not filled in yet. */
export function wrongIn({ value, faults }: Written): [path: string, fault: string][] {
  return [...faults].filter(([path]) => !isMissing(value, path));
}

/** Fields that are needed and not filled in, by their paths. */
export function missingIn({ value, faults }: Written): string[] {
  return [...faults.keys()].filter((path) => isMissing(value, path));
}

function isMissing(value: unknown, path: string): boolean {
  return path !== '' && valueAt(value, path.split('.')) === undefined;
}

/** The text with one field changed, or taken out where undefined; comments and all other fields stay as they are. */
export function withField(text: string, path: Path, value: unknown): string {
  const document: Document = parseDocument(text);
  if (value === undefined) {
    document.deleteIn(path);
    // A group that lost its last field says nothing any more.
    for (let length = path.length - 1; length > 0; length--) {
      const group: unknown = document.getIn(path.slice(0, length));
      const isEmpty = group !== null && typeof group === 'object' && 'items' in group && isNone(group.items);
      if (!isEmpty || typeof path[length - 1] === 'number') break;
      document.deleteIn(path.slice(0, length));
    }
    const text = document.toString();
    return text === '{}\n' ? '' : text;
  }
  if (document.contents === null) document.contents = document.createNode({});
  document.setIn(path, document.createNode(value));
  return document.toString();
}

export function valueAt(value: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (inner, key) =>
      typeof inner === 'object' && inner !== null ? (inner as Record<PropertyKey, unknown>)[key] : undefined,
    value,
  );
}

/** The entries of what should be a list; none where it is something else, which its own fault tells. */
export function entriesOf<Entry>(value: readonly (Entry | null)[] | undefined): Entry[] {
  return Array.isArray(value) ? value.filter((entry) => entry !== null) : [];
}

export function pathKey(path: Path): string {
  return path.join('.');
}

function isNone(items: unknown): boolean {
  return Array.isArray(items) && items.length === 0;
}
