/**
 * An error that the user can act on. `code` is what programs and tests look at; the message is for people and says
 * what was expected, what was found, where, the likely cause and the next step.
 */
export type ErrorCode =
  | 'file-missing'
  | 'not-wav'
  | 'wav-unsupported'
  | 'wav-damaged'
  | 'sample-rate'
  | 'no-track'
  | 'no-recordings'
  | 'session-syntax'
  | 'session-field'
  | 'unknown-tap'
  | 'settings'
  | 'calibration'
  | 'scenario-field'
  | 'would-overwrite'
  | 'cannot-write'
  | 'usage';

export interface ErrorParts {
  readonly code: ErrorCode;
  readonly expected: string;
  readonly found: string;
  /** File, line, channel or time. */
  readonly where: string;
  readonly likelyCause?: string;
  readonly nextStep: string;
}

export class SteptoneError extends Error {
  readonly code: ErrorCode;
  readonly parts: ErrorParts;

  constructor(parts: ErrorParts) {
    super(errorText(parts));
    this.name = 'SteptoneError';
    this.code = parts.code;
    this.parts = parts;
  }
}

function errorText({ expected, found, where, likelyCause, nextStep }: ErrorParts): string {
  const cause = likelyCause === undefined ? '' : ` Likely cause: ${likelyCause}.`;
  return `${where}: expected ${expected}, found ${withoutStop(found)}.${cause} Next: ${nextStep}.`;
}

/** What was found may be the message of another error, which is whole sentences. */
function withoutStop(text: string): string {
  return text.replace(/[.]$/, '');
}
