import { Command } from 'commander';
import { addBayCommands } from './bay-commands.ts';
import type { CommandLine, CommonOptions, Request, Work } from './command-line.ts';
import { toolVersion } from './package-folder.ts';
import { addRecordingsCommands } from './recordings-commands.ts';
import { addResultsCommands } from './results-commands.ts';
import type { Streams } from './terminal.ts';

const EXIT_STATUSES = `
Exit status:
  0  done
  1  Steptone has a fault of its own
  2  put something right in the command, the session or the recordings; Steptone wrote nothing
  3  check: keep the dash open
  4  verify, replan: the car is not as planned
`;

/**
 * The command line as commander sees it. Each command only says what it was asked for, through `ask`; its work is
 * imported when it is called, so that --help is there at once.
 */
export function createProgram(ask: (request: Request) => void, { stdout }: Streams): Command {
  const program = new Command('steptone')
    .description(
      'Finds out from recordings what a factory car radio does to its speaker outputs, and says what to do about it.',
    )
    .version(toolVersion())
    .exitOverride()
    .configureOutput({ writeOut: (text) => stdout.write(text), writeErr: () => {} })
    .showSuggestionAfterError()
    .addHelpText('after', `\nExample:\n  steptone analyse recordings --settings 10-38/4\n${EXIT_STATUSES}`);

  const line: CommandLine = { command, asked };
  addBayCommands(line);
  addRecordingsCommands(line);
  addResultsCommands(line);
  return program;

  function command(name: string, example: string): Command {
    return program
      .command(name)
      .option('--json', 'print the answer as JSON', false)
      .option('--quiet', 'print errors only', false)
      .addHelpText('after', `\nExample:\n  ${example}\n${EXIT_STATUSES}`);
  }

  function asked({ json, quiet }: CommonOptions, work: Work): void {
    ask({ json, quiet, work });
  }
}
