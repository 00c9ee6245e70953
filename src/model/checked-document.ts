import { type Document, isNode, LineCounter, parseDocument, visit } from 'yaml';
import type { z } from 'zod';
import { documentPlace } from './document-place.ts';
import { type ErrorCode, SteptoneError } from './errors.ts';
import { described, fieldFault } from './field-fault.ts';
import { type FieldPath, fieldName } from './field-path.ts';
import { nestedTooDeep } from './nested-too-deep.ts';

interface CheckedDocument<Value> {
  readonly value: Value;
  /** Where a field stands: file, line, column and the field's name. */
  readonly locate: (path: FieldPath) => string;
}

/** What the messages about a kind of file say. */
interface DocumentKind<Schema extends z.ZodType> {
  readonly schema: Schema;
  /** Where it is no YAML at all. */
  readonly syntaxCode: ErrorCode;
  readonly fieldCode: (path: FieldPath) => ErrorCode;
  /** `a session in YAML or JSON, such as ...` */
  readonly expected: string;
  readonly nextStep: string;
}

/**
 * Reads YAML or JSON (which YAML contains) and checks every field of it.
 *
 * @throws SteptoneError that names file, line, column and field, and the right word where a wrong one was written
 */
export function checkDocument<Schema extends z.ZodType>(
  { fileName, text }: { fileName: string; text: string },
  { schema, syntaxCode, fieldCode, expected, nextStep }: DocumentKind<Schema>,
): CheckedDocument<z.output<Schema>> {
  const lineCounter = new LineCounter();
  if (nestedTooDeep(text))
    throw new SteptoneError({
      code: syntaxCode,
      expected,
      found: 'lists inside lists, more than a hundred deep',
      where: fileName,
      nextStep,
    });
  const document = parseDocument(text, {
    lineCounter,
    prettyErrors: false,
    stringKeys: true,
    uniqueKeys: false,
  });
  const notReadable = ({ where = fileName, found }: { where?: string; found: string }) =>
    new SteptoneError({ code: syntaxCode, expected, found, where, nextStep });

  const fault = document.errors[0] ?? repeatedField(document);
  if (fault !== undefined) {
    const { line, col } = lineCounter.linePos(fault.pos[0]);
    throw notReadable({
      where: `${fileName} line ${line}, column ${col}`,
      found: fault.message.toLowerCase(),
    });
  }
  const value = plainValue(document);
  if (value instanceof Error) throw notReadable({ found: value.message.toLowerCase() });
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw notReadable({ found: value === null ? 'an empty file' : `only ${described(value)}` });
  }

  const locate = (path: FieldPath) =>
    [`${fileName} ${documentPlace({ document, lineCounter, path })}`, fieldName(path)]
      .filter(Boolean)
      .join(', ');
  const parsed = schema.safeParse(value);
  if (parsed.success) return { value: parsed.data, locate };
  const { path, hint, ...parts } = fieldFault({ error: parsed.error, value });
  throw new SteptoneError({
    code: fieldCode(path),
    ...parts,
    where: locate(path),
    nextStep: hint ?? nextStep,
  });
}

/** The parser's own search takes a minute for a file full of fields. */
function repeatedField(document: Document): { message: string; pos: readonly number[] } | undefined {
  let repeated: readonly number[] | null | undefined;
  visit(document, {
    Map(_, { items }) {
      const seen = new Set<string>();
      for (const { key } of items) {
        if (seen.has(String(key)) && isNode(key)) repeated ??= key.range;
        seen.add(String(key));
      }
      return repeated === undefined ? undefined : visit.BREAK;
    },
  });
  return repeated == null ? undefined : { message: 'the same field a second time', pos: repeated };
}

/** An error where an alias points nowhere, or unfolds without end. */
function plainValue(document: Document): unknown {
  try {
    return document.toJS();
  } catch (cause) {
    return cause instanceof Error ? cause : new Error('an alias that cannot be read');
  }
}
