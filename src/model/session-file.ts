import { parse } from 'yaml';
import { checkDocument } from './checked-document.ts';
import type { FieldPath } from './field-path.ts';
import { nestedTooDeep } from './nested-too-deep.ts';
import { type SessionInput, sessionInputSchema } from './session-input.ts';

export interface SessionFile {
  readonly input: SessionInput;
  /** Where a field stands: file, line, column and the field's name. */
  readonly locate: (path: FieldPath) => string;
}

/**
 * Reads a session written in YAML or JSON and checks every field of it.
 *
 * @throws SteptoneError `session-syntax` where it is not YAML, `calibration` for a field of the calibration,
 * `session-field` for any other field; each names file, line, column and field.
 */
export function parseSessionFile(file: { fileName: string; text: string }): SessionFile {
  const { value, locate } = checkDocument(file, {
    schema: sessionInputSchema,
    syntaxCode: 'session-syntax',
    fieldCode: ([field]) => (field === 'calibration' ? 'calibration' : 'session-field'),
    expected: 'a session in YAML or JSON, such as settings: 10-38/4',
    nextStep: "put this right ('steptone schema session' describes each field)",
  });
  return { input: value, locate };
}

/** Fields that say what was recorded; none of them stands in an equipment file. */
const TELLING_FIELDS = ['settings', 'taps', 'channels', 'recordings', 'calibration'];
/** One slip in a field's name is told as a slip; more unknown fields are another kind of file. */
const MOST_UNKNOWN_FIELDS = 1;

/**
 * Whether a text is meant as a session. One that cannot be read may be, so that its fault is told rather than the file
 * passed over.
 */
export function looksLikeSession(text: string): boolean {
  if (nestedTooDeep(text)) return true;
  try {
    const value: unknown = parse(text, { uniqueKeys: false });
    if (typeof value !== 'object' || value === null) return false;
    const unknown = Object.keys(value).filter((field) => !Object.hasOwn(sessionInputSchema.shape, field));
    return unknown.length <= MOST_UNKNOWN_FIELDS && TELLING_FIELDS.some((field) => field in value);
  } catch {
    return true;
  }
}
