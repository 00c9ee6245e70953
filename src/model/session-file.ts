import { type Document, isMap, isNode, LineCounter, parseDocument } from 'yaml';
import type { z } from 'zod';
import { type ErrorCode, SteptoneError } from './errors.ts';
import { wordHint } from './nearest-word.ts';
import { type SessionInput, sessionInputSchema } from './session-input.ts';

export type FieldPath = readonly PropertyKey[];
type Issue = z.core.$ZodIssue;

export interface SessionFile {
  readonly input: SessionInput;
  /** Where a field stands: file, line, column and the field's name. */
  readonly locate: (path: FieldPath) => string;
}

/**
 * Reads a session written in YAML or JSON (which YAML contains) and checks every field of it.
 *
 * @throws SteptoneError `session-syntax` where it is not YAML, `calibration` for a field of the calibration,
 * `session-field` for any other field; each names file, line, column and field.
 */
export function parseSessionFile({ fileName, text }: { fileName: string; text: string }): SessionFile {
  const lineCounter = new LineCounter();
  const document = parseDocument(text, { lineCounter, prettyErrors: false, stringKeys: true });
  const locate = (path: FieldPath) =>
    `${fileName} ${lineAndColumn({ document, lineCounter, path })}${fieldName(path)}`;
  const value = plainValue({ document, lineCounter, fileName });
  const parsed = sessionInputSchema.safeParse(value);
  if (!parsed.success) throw fieldError({ issue: innermost(parsed.error.issues[0], value), value, locate });
  return { input: parsed.data, locate };
}

function plainValue({
  document,
  lineCounter,
  fileName,
}: {
  document: Document;
  lineCounter: LineCounter;
  fileName: string;
}): unknown {
  const fault = document.errors[0];
  if (fault !== undefined) {
    const { line, col } = lineCounter.linePos(fault.pos[0]);
    throw syntaxError({
      where: `${fileName} line ${line}, column ${col}`,
      found: fault.message.toLowerCase(),
    });
  }
  let value: unknown;
  try {
    value = document.toJS();
  } catch (cause) {
    // Aliases that point nowhere, or that unfold without end.
    throw syntaxError({
      where: fileName,
      found: cause instanceof Error ? cause.message.toLowerCase() : 'an alias that cannot be read',
    });
  }
  if (typeof value === 'object' && value !== null && !Array.isArray(value)) return value;
  throw syntaxError({
    where: fileName,
    found: value === null ? 'an empty file' : `only ${described(value)}`,
  });
}

function syntaxError({ where, found }: { where: string; found: string }): SteptoneError {
  return new SteptoneError({
    code: 'session-syntax',
    expected: 'a session in YAML or JSON, such as settings: 10-38/4',
    found,
    where,
    nextStep: "mend this line, or see 'steptone schema session' for the fields",
  });
}

/** Of a value that fits none of several forms, the fault in the form that comes nearest to it. */
function innermost(issue: Issue, value: unknown): Issue {
  if (issue.code !== 'invalid_union' || issue.errors.length === 0) return issue;
  const given = valueAt(value, issue.path);
  const nearest =
    issue.errors.find(
      ([first]) =>
        first.path.length > 0 || first.code === 'unrecognized_keys' || first.code.startsWith('too_'),
    ) ??
    issue.errors.find(([first]) => first.code === 'invalid_value' && typeof given === 'string') ??
    issue.errors.find(([first]) => first.code === 'invalid_union' && typeof given === 'object');
  if (nearest === undefined) return issue;
  return innermost({ ...nearest[0], path: [...issue.path, ...nearest[0].path] } as Issue, value);
}

function fieldError({
  issue,
  value,
  locate,
}: {
  issue: Issue;
  value: unknown;
  locate: (path: FieldPath) => string;
}): SteptoneError {
  const code: ErrorCode = issue.path[0] === 'calibration' ? 'calibration' : 'session-field';
  const nextStep = "correct this field ('steptone schema session' describes each)";
  const given = valueAt(value, issue.path);
  const found = described(given);
  if (issue.code === 'unrecognized_keys') {
    const where = locate([...issue.path, issue.keys[0]]);
    return new SteptoneError({
      code,
      expected: 'a known field',
      found: `'${issue.keys[0]}'`,
      where,
      nextStep: issue.message,
    });
  }
  const where = locate(issue.path);
  if (issue.code === 'invalid_value' && typeof given === 'string') {
    const words = issue.values.map(String);
    return new SteptoneError({
      code,
      expected: `one of ${words.join(', ')}`,
      found,
      where,
      nextStep: wordHint({ written: given, words }),
    });
  }
  return new SteptoneError({ code, expected: expectation(issue), found, where, nextStep });
}

function expectation(issue: Issue): string {
  switch (issue.code) {
    case 'invalid_type':
      return KIND_WORDS[issue.expected] ?? issue.expected;
    case 'invalid_value':
      return `one of ${issue.values.map(String).join(', ')}`;
    case 'invalid_union':
      return issue.errors.length === 0
        ? 'pad, tone or none'
        : issue.errors.map(([first]) => expectation(first)).join(', or ');
    case 'too_small':
      return issue.origin === 'array' || issue.origin === 'string'
        ? `at least ${issue.minimum} ${issue.origin === 'array' ? 'entry' : 'letter'}`
        : `a number ${issue.inclusive ? 'of at least' : 'above'} ${issue.minimum}`;
    case 'too_big':
      return `a number of at most ${issue.maximum}`;
    default:
      return issue.message.toLowerCase();
  }
}

const KIND_WORDS: Readonly<Record<string, string>> = {
  array: 'a list',
  object: 'a group of fields',
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
};

function described(value: unknown): string {
  if (value === undefined || value === null) return 'nothing';
  if (Array.isArray(value)) return value.length === 0 ? 'an empty list' : 'a list';
  if (typeof value === 'object') return 'a group of fields';
  return typeof value === 'string'
    ? `'${value.length > 60 ? `${value.slice(0, 60)}...` : value}'`
    : String(value);
}

function valueAt(value: unknown, path: FieldPath): unknown {
  return path.reduce<unknown>(
    (inner, key) =>
      typeof inner === 'object' && inner !== null ? (inner as Record<PropertyKey, unknown>)[key] : undefined,
    value,
  );
}

/** Of the field itself or, where it is missing, of the nearest field around it. */
function lineAndColumn({
  document,
  lineCounter,
  path,
}: {
  document: Document;
  lineCounter: LineCounter;
  path: FieldPath;
}): string {
  for (let length = path.length; length >= 0; length--) {
    const offset = offsetOf(document, path.slice(0, length));
    if (offset === undefined) continue;
    const { line, col } = lineCounter.linePos(offset);
    return `line ${line}, column ${col}`;
  }
  return 'line 1, column 1';
}

/** A field is where its name stands; an entry of a list is where it begins. */
function offsetOf(document: Document, path: FieldPath): number | undefined {
  const parent = path.length === 0 ? undefined : document.getIn(path.slice(0, -1), true);
  if (isMap(parent)) {
    const key = parent.items.find(
      (pair) => isNode(pair.key) && String(pair.key) === String(path[path.length - 1]),
    )?.key;
    return isNode(key) ? key.range?.[0] : undefined;
  }
  const node = path.length === 0 ? document.contents : document.getIn(path, true);
  return isNode(node) ? node.range?.[0] : undefined;
}

/** `recordings[2].channels`, as in most programs' messages. */
export function fieldName(path: FieldPath): string {
  if (path.length === 0) return '';
  const text = path.map((key) => (typeof key === 'number' ? `[${key}]` : `.${String(key)}`)).join('');
  return `, ${text.replace(/^\./, '')}`;
}
