#!/usr/bin/env node
import { CommanderError } from 'commander';
import { EXIT_BAD_INPUT, EXIT_FINE, failureOf } from './failure.ts';
import { createProgram, type Request } from './program.ts';
import { openTerminal } from './terminal.ts';

process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  // `steptone schema session | head` has seen enough.
  if (error.code !== 'EPIPE') throw error;
  process.exit(EXIT_FINE);
});
process.exitCode = await run(process.argv.slice(2));

/** Parse, work, print; answers the exit status. */
async function run(args: readonly string[]): Promise<number> {
  let request: Request | undefined;
  try {
    const program = createProgram((asked) => {
      request = asked;
    });
    program.parse(args.length === 0 ? ['--help'] : args, { from: 'user' });
  } catch (error) {
    return wrongCommand(error);
  }
  if (request === undefined) return EXIT_FINE;

  const { json, quiet, work } = request;
  const terminal = openTerminal({ quiet });
  try {
    const { text, data } = await work({ progress: terminal.progress });
    if (json) terminal.out(JSON.stringify(data, null, 2));
    else if (!quiet) terminal.out(text);
    return EXIT_FINE;
  } catch (error) {
    const { status, text, data } = failureOf(error);
    terminal.error(text);
    if (json) terminal.out(JSON.stringify(data, null, 2));
    return status;
  }
}

/** Commander throws for --help and --version too, which are no errors. */
function wrongCommand(error: unknown): number {
  const terminal = openTerminal({ quiet: false });
  if (!(error instanceof CommanderError)) {
    const { status, text } = failureOf(error);
    terminal.error(text);
    return status;
  }
  if (error.exitCode === 0) return EXIT_FINE;
  const message = error.message.replace(/^error: /, '').replace(/\s*\n\s*/g, ' ');
  terminal.error(`steptone: ${message}. Next: see steptone --help.`);
  return EXIT_BAD_INPUT;
}
