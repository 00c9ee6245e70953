import type { CommandLine } from './command-line.ts';

/** Commands that read recordings. */
export function addRecordingsCommands(line: CommandLine): void {
  addCheck(line);
  addAnalyse(line);
  addVerify(line);
}

function addCheck({ command, asked }: CommandLine): void {
  command('check', 'steptone check recordings --settings 10-38/4')
    .description('Check recordings while the dash is open: usable? enough? what next?')
    .argument('<recordings>', 'folder of WAV files, session file, or one WAV')
    .option('--settings <list>', 'volume settings in the order you recorded them: 10-38/4, 10-38 or 10,14,18')
    .option('--channels <taps>', 'output on each channel: front-left,front-right (- for none)')
    .action((target, options) =>
      asked(options, async ({ progress }) =>
        (await import('./check.ts')).checkCommand({ target, ...options }, progress),
      ),
    );
}

function addAnalyse({ command, asked }: CommandLine): void {
  command('analyse', 'steptone analyse recordings --settings 10-38/4')
    .description('Measure the recordings; write report, sheets and results')
    .argument('<recordings>', 'folder of WAV files, session file, or one WAV')
    .option('--settings <list>', 'volume settings in the order you recorded them: 10-38/4, 10-38 or 10,14,18')
    .option('--channels <taps>', 'output on each channel: front-left,front-right (- for none)')
    .option('--equipment <file>', 'file with converter, amplifiers and speakers, YAML or JSON')
    .option('--out <folder>', 'where to write (default: steptone-out beside the recordings)')
    .option('--force', 'replace an older report', false)
    .action((target, { equipment, ...options }) =>
      asked(options, async ({ progress }) =>
        (await import('./analyse.ts')).analyseCommand(
          { target, equipmentFile: equipment, ...options },
          progress,
        ),
      ),
    );
}

function addVerify({ command, asked }: CommandLine): void {
  command('verify', 'steptone verify after-install --plan steptone-out/results.json')
    .description(
      'Prove the install: compare recordings from the converter or amplifier with the plan; pass or fail, and which knob to turn',
    )
    .argument('<recordings>', 'folder of WAV files, session file, or one WAV; name each tap after its feed')
    .requiredOption('--plan <results>', 'results.json of the plan you installed')
    .option('--settings <list>', 'volume settings in the order you recorded them: 10-38/4, 10-38 or 10,14,18')
    .option('--channels <taps>', 'feed on each channel: front-left,front-right (- for none)')
    .option('--out <folder>', 'where to write (default: steptone-out beside the recordings)')
    .option('--force', 'replace an older proof', false)
    .action((target, options) =>
      asked(options, async ({ progress }) =>
        (await import('./verify.ts')).verifyCommand({ target, ...options }, progress),
      ),
    );
}
