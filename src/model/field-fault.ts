import type { z } from 'zod';
import type { ErrorParts } from './errors.ts';
import type { FieldPath } from './field-path.ts';
import { wordHint } from './nearest-word.ts';

type Issue = z.core.$ZodIssue;

interface FieldFault extends Pick<ErrorParts, 'expected' | 'found'> {
  readonly path: FieldPath;
  /** The word that was probably meant, where a wrong one was written. */
  readonly hint: string | null;
}

/** What is wrong with a value, from the first thing that zod says about it. */
export function fieldFault({ error, value }: { error: z.ZodError; value: unknown }): FieldFault {
  const issue = innermost(error.issues[0], value);
  const given = valueAt(value, issue.path);
  const found = described(given);
  if (issue.code === 'unrecognized_keys') {
    const [key] = issue.keys;
    const hint = issue.message.startsWith('Unrecognized') ? null : issue.message; // see `form`
    return { path: [...issue.path, key], expected: 'a known field', found: `'${key}'`, hint };
  }
  const words = wordsAllowed(issue);
  const hint = typeof given === 'string' && words.length > 0 ? wordHint({ written: given, words }) : null;
  return { path: issue.path, expected: expectation(issue), found, hint };
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

function expectation(issue: Issue): string {
  switch (issue.code) {
    case 'invalid_type':
      return KIND_WORDS[issue.expected] ?? issue.expected;
    case 'invalid_value':
      return `one of ${wordsAllowed(issue).join(', ')}`;
    case 'invalid_union':
      return issue.errors.length === 0
        ? `one of ${wordsAllowed(issue).join(', ')}`
        : issue.errors.map(([first]) => expectation(first)).join(', or ');
    case 'too_small':
      return issue.origin === 'array' || issue.origin === 'string'
        ? `at least ${issue.minimum} ${issue.origin === 'array' ? 'entry' : 'letter'}`
        : `a number ${issue.inclusive ? 'of at least' : 'above'} ${issue.minimum}`;
    case 'too_big':
      return issue.origin === 'array'
        ? `at most ${issue.maximum} entries`
        : `a number of at most ${issue.maximum}`;
    default:
      return issue.message.toLowerCase();
  }
}

function wordsAllowed(issue: Issue): string[] {
  if (issue.code === 'invalid_value') return issue.values.map(String);
  return issue.code === 'invalid_union' && 'options' in issue ? (issue.options ?? []).map(String) : [];
}

const KIND_WORDS: Readonly<Record<string, string>> = {
  array: 'a list',
  object: 'a group of fields',
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
};

/** A value in a message: short, and never a whole list. */
export function described(value: unknown): string {
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
