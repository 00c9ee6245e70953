#!/usr/bin/env node
import { CommanderError } from 'commander';
import { carryOut } from './carry-out.ts';
import { EXIT_BAD_INPUT, EXIT_FINE, failureOf } from './failure.ts';
import { createProgram, type Request } from './program.ts';
import { openTerminal } from './terminal.ts';

process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  // `steptone schema session | head` has seen enough.
  if (error.code !== 'EPIPE') throw error;
  process.exit(EXIT_FINE);
});
process.exitCode = await run(process.argv.slice(2));

async function run(args: readonly string[]): Promise<number> {
  let request: Request | undefined;
  try {
    const program = createProgram((asked) => {
      request = asked;
    });
    program.parse(args.length === 0 ? ['--help'] : args, { from: 'user' });
  } catch (error) {
    return notUnderstood(error);
  }
  return request === undefined ? EXIT_FINE : carryOut(request);
}

/** Commander throws for --help and --version too, which are no errors. */
function notUnderstood(error: unknown): number {
  const terminal = openTerminal({ quiet: false });
  if (!(error instanceof CommanderError)) {
    const { status, text } = failureOf(error);
    terminal.error(text);
    return status;
  }
  if (error.exitCode === 0) return EXIT_FINE;
  const message = error.message
    .replace(/^error: /, '')
    .replace(/\s*\n\s*/g, ' ')
    .replace(/\.$/, '');
  terminal.error(`steptone: ${message}. Next: see steptone --help.`);
  return EXIT_BAD_INPUT;
}
