import { Option } from 'commander';
import type { CommandLine } from './command-line.ts';

/** Commands of the time before a recording: the job, the page, the stick, recordings of an invented radio. */
export function addBayCommands(line: CommandLine): void {
  addNew(line);
  addPage(line);
  addTones(line);
  addSimulate(line);
}

function addNew({ command, asked }: CommandLine): void {
  command('new', 'steptone new recordings --settings 10-38/4 --taps front-left,front-right')
    .description(
      'Start a job: answer five questions, get the session file, the bench sheet and the estimate sheet',
    )
    .argument('<folder>', 'folder for the recordings; Steptone makes it if it is missing')
    .option('--name <text>', 'car and radio (default: Factory outputs)')
    .option('--settings <list>', 'volume settings to record: 10-38/4')
    .option('--taps <list>', 'outputs to record: front-left,front-right,rear-left,rear-right')
    .option('--level <level>', 'speaker or line (default: not known; Steptone judges by the volts)')
    .option('--channels <count>', 'channels of the recorder (default: 2)')
    .option('--calibration <figures>', 'pad ratio and full-scale volts RMS: 11,1.4 (default: none)')
    .action((folder, { json, quiet, ...given }) =>
      asked({ json, quiet }, async () => {
        const [{ newCommand }, { withPerson }] = await Promise.all([import('./new.ts'), import('./ask.ts')]);
        return withPerson((person) => newCommand({ folder, ...given }, person));
      }),
    );
}

function addPage({ command, asked }: CommandLine): void {
  command('page', 'steptone page .')
    .description('Write the page that does the whole job in a browser, offline')
    .argument('<folder>', 'where to write it, such as a stick for the bay laptop')
    .option('--force', 'replace an older page', false)
    .action((folder, { force, ...common }) =>
      asked(common, async () => (await import('./page.ts')).pageCommand({ folder, force })),
    );
}

function addTones({ command, asked }: CommandLine): void {
  command('tones', 'steptone tones usb-stick')
    .description('Write the test files to the stick, with a bench sheet')
    .argument('<folder>', 'where to write, such as the stick')
    .option('--settings <list>', 'volume settings for the bench sheet’s list of takes: 10-38/4')
    .option('--session <file>', 'session file or its folder; the bench sheet then names outputs and wires')
    .addOption(
      new Option('--rate <hz>', 'write one sample rate only (default: both)').choices(['44100', '48000']),
    )
    .option('--force', 'replace older files', false)
    .action((outFolder, { settings, session, rate, force, ...common }) =>
      asked(common, async ({ progress }) => {
        const [{ tonesCommand }, { TRACK_RATES_HZ }, { parseSettings }] = await Promise.all([
          import('./tones.ts'),
          import('../src/tones/render-track.ts'),
          import('../src/model/setting-range.ts'),
        ]);
        return tonesCommand({
          outFolder,
          force,
          progress,
          sessionTarget: session,
          rates: rate === undefined ? TRACK_RATES_HZ : [Number(rate)],
          ...(settings === undefined
            ? {}
            : { settings: parseSettings({ text: settings, where: '--settings' }) }),
        });
      }),
    );
}

function addSimulate({ command, asked }: CommandLine): void {
  command('simulate', 'steptone simulate sample-audio/scenario.yaml --out simulated')
    .description(
      'Make the recordings that an invented radio would give, and write its true figures beside them',
    )
    .argument('<scenario>', 'scenario file, YAML or JSON')
    .requiredOption('--out <folder>', 'where to write')
    .option('--force', 'replace older files', false)
    .action((scenarioFile, { out, force, ...common }) =>
      asked(common, async ({ progress }) =>
        (await import('./simulate.ts')).simulateCommand({ scenarioFile, outFolder: out, force, progress }),
      ),
    );
}
