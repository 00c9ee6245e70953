import { SteptoneError } from '../src/model/errors.ts';
import { toolVersion } from './package-folder.ts';

export const EXIT_FINE = 0;
const EXIT_FAULT_OF_THE_TOOL = 1;
export const EXIT_BAD_INPUT = 2;
/** The recordings could be read; the dash has to stay open (`steptone check`). */
export const EXIT_RECORD_MORE = 3;
/** The recordings could be read; what they show is not what was planned (`steptone verify`, `steptone replan --confirm`). */
export const EXIT_NOT_AS_PLANNED = 4;

export interface Failure {
  readonly status: number;
  readonly text: string;
  readonly data: unknown;
}

/**
 * What to say about an error, and the exit status. An error for users is one line without a stack trace; anything else
 * is a fault of the tool, and then the stack is what its maintainers need.
 */
export function failureOf(error: unknown): Failure {
  if (error instanceof SteptoneError) {
    return {
      status: EXIT_BAD_INPUT,
      text: `steptone: ${oneLine(error.message)}`,
      data: { error: error.parts },
    };
  }
  const stack = error instanceof Error ? (error.stack ?? error.message) : String(error);
  return {
    status: EXIT_FAULT_OF_THE_TOOL,
    text:
      `steptone: this is a fault of the tool, not of your recordings. Send its maintainers the command you gave, the ` +
      `session file and what follows.\nsteptone ${toolVersion()}, node ${process.version}, ${process.platform}\n${stack}`,
    data: { error: { code: 'fault', message: error instanceof Error ? error.message : String(error) } },
  };
}

/** File names may hold anything. */
function oneLine(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what must not reach the terminal
  return text.replace(/[\u0000-\u001f\u007f-\u009f]+/g, ' ');
}
