#!/usr/bin/env node
import { SteptoneError } from '../src/model/errors.ts';
import { compileLater } from './compile-later.ts';
import { EXIT_BAD_INPUT, EXIT_FINE, failureOf } from './failure.ts';
import { run } from './run.ts';
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

function notPrinted(error: unknown): SteptoneError {
  return new SteptoneError({
    code: 'cannot-write',
    expected: 'somewhere to print',
    found: systemReason(error),
    where: 'standard output',
    nextStep: 'free some space on that disk, or print to the terminal',
  });
}
