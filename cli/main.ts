#!/usr/bin/env node
import { CommanderError } from 'commander';
import { SteptoneError } from '../src/model/errors.ts';
import { carryOut } from './carry-out.ts';
import type { Request } from './command-line.ts';
import { compileLater } from './compile-later.ts';
import { EXIT_BAD_INPUT, EXIT_FINE, type Failure, failureOf } from './failure.ts';
import { createProgram } from './program.ts';
import { systemCode, systemReason } from './system-reason.ts';
import { openTerminal } from './terminal.ts';

compileLater();
process.stdout.on('error', (error) => {
  // `steptone schema session | head` has seen enough.
  if (systemCode(error) === 'EPIPE') process.exit(EXIT_FINE);
  openTerminal({ quiet: false }).error(failureOf(notPrinted(error)).text);
  process.exit(EXIT_BAD_INPUT);
});
// Where not even an error can be told, the status still tells it.
process.stderr.on('error', () => process.exit(process.exitCode ?? EXIT_BAD_INPUT));
process.exitCode = await run(process.argv.slice(2));

async function run(args: readonly string[]): Promise<number> {
  let request: Request | undefined;
  const program = createProgram((asked) => {
    request = asked;
  });
  try {
    program.parse(args.length === 0 ? ['--help'] : args, { from: 'user' });
  } catch (error) {
    const command = program.commands.find((one) => one.name() === args[0])?.name();
    return notUnderstood(error, { command, json: args.includes('--json') });
  }
  return request === undefined ? EXIT_FINE : carryOut(request);
}

/** Commander throws for --help and --version too, which are no errors. */
function notUnderstood(
  error: unknown,
  { command, json }: { command: string | undefined; json: boolean },
): number {
  if (error instanceof CommanderError && error.exitCode === 0) return EXIT_FINE;
  const terminal = openTerminal({ quiet: false });
  const { status, text, data } =
    error instanceof CommanderError ? usageFailure(error, command) : failureOf(error);
  terminal.error(text);
  if (json) terminal.out(JSON.stringify(data, null, 2));
  return status;
}

function notPrinted(error: unknown): SteptoneError {
  return new SteptoneError({
    code: 'cannot-write',
    expected: 'somewhere to print',
    found: systemReason(error),
    where: 'standard output',
    nextStep: 'free some space on that disk, or print to the terminal',
  });
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
