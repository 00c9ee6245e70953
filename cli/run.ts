import { CommanderError } from 'commander';
import { carryOut } from './carry-out.ts';
import type { Request } from './command-line.ts';
import { EXIT_BAD_INPUT, EXIT_FINE, type Failure, failureOf } from './failure.ts';
import { createProgram } from './program.ts';
import { openTerminal, type Streams } from './terminal.ts';

/** The command line from its words to its exit status. */
export async function run(args: readonly string[], streams: Streams = process): Promise<number> {
  let request: Request | undefined;
  const program = createProgram((asked) => {
    request = asked;
  }, streams);
  try {
    program.parse(args.length === 0 ? ['--help'] : args, { from: 'user' });
  } catch (error) {
    const command = program.commands.find((one) => one.name() === args[0])?.name();
    return notUnderstood(error, { command, json: args.includes('--json'), streams });
  }
  return request === undefined ? EXIT_FINE : carryOut(request, streams);
}

/** Commander throws for --help and --version too, which are no errors. */
function notUnderstood(
  error: unknown,
  { command, json, streams }: { command: string | undefined; json: boolean; streams: Streams },
): number {
  if (error instanceof CommanderError && error.exitCode === 0) return EXIT_FINE;
  const terminal = openTerminal({ quiet: false }, streams);
  const { status, text, data } =
    error instanceof CommanderError ? usageFailure(error, command) : failureOf(error);
  terminal.error(text);
  if (json) terminal.out(JSON.stringify(data, null, 2));
  return status;
}

function usageFailure({ message }: CommanderError, command: string | undefined): Failure {
  const where = command === undefined ? 'steptone' : `steptone ${command}`;
  const found = message
    .replace(/^error: /, '')
    .replace(/\s*\n\s*/g, ' ')
    .replace(/\.$/, '');
  const nextStep = `see ${where} --help`;
  return {
    status: EXIT_BAD_INPUT,
    text: `steptone: ${found}. Next: ${nextStep}.`,
    data: {
      error: { code: 'usage', expected: 'a command as its help shows it', found, where, nextStep },
    },
  };
}
