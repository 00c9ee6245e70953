import { Command, Option } from 'commander';
import type { Progress } from '../src/commands/progress.ts';
import type { Outcome } from './outcome.ts';
import { toolVersion } from './package-folder.ts';

/** What a command works with beside its own options. */
export interface Surroundings {
  readonly progress: Progress;
}

export type Work = (surroundings: Surroundings) => Promise<Outcome>;

export interface CommonOptions {
  readonly json: boolean;
  readonly quiet: boolean;
}

/** What was asked for: nothing runs before `work` is called. */
export interface Request extends CommonOptions {
  readonly work: Work;
}

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
export function createProgram(ask: (request: Request) => void): Command {
  const program = new Command('steptone')
    .description(
      'Finds out from recordings what a factory car radio does to its speaker outputs, and says what to do about it.',
    )
    .version(toolVersion())
    .exitOverride()
    .configureOutput({ writeErr: () => {} })
    .showSuggestionAfterError()
    .addHelpText('after', `\nExample:\n  steptone analyse recordings --settings 10-38/4\n${EXIT_STATUSES}`);

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

  command('page', 'steptone page .')
    .description('Write the page that does the whole job in a browser, offline')
    .argument('<folder>', 'where to write it, such as a stick for the bay laptop')
    .option('--force', 'replace an older page', false)
    .action((folder, { force, ...common }) =>
      asked(common, async () => (await import('./page.ts')).pageCommand({ folder, force })),
    );

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

  command('replan', 'steptone replan steptone-out/results.json --equipment larger.yaml --out replanned')
    .description('Plan again for other parts; the results file is enough')
    .argument('<results>', 'results.json from analyse')
    .requiredOption('--equipment <file>', 'the new parts: what a session has under equipment, YAML or JSON')
    .option('--out <folder>', 'where to write (default: replanned beside the results)')
    .option(
      '--confirm <take>',
      'one short take (WAV) of an output in the plan: is the radio still the same within 0.5 dB?',
    )
    .option('--channels <taps>', 'output on each channel of that take (default: the one that the plan names)')
    .option('--setting <number>', 'volume setting of that take (default: the one that the plan names)')
    .option('--force', 'replace older files', false)
    .action((resultsFile, { equipment, out, confirm, channels, setting, force, ...common }) =>
      asked(common, async ({ progress }) =>
        (await import('./replan.ts')).replanCommand(
          { resultsFile, equipmentFile: equipment, outFolder: out, confirm, channels, setting, force },
          progress,
        ),
      ),
    );

  command('curves', 'steptone curves steptone-out/results.json')
    .description('Write the curves as CSV tables: response, level and distortion by drive, level by setting')
    .argument('<results>', 'results.json from analyse')
    .option('--out <folder>', 'where to write (default: curves beside the results)')
    .option('--force', 'replace older tables', false)
    .action((resultsFile, { out, force, ...common }) =>
      asked(common, async () => (await import('./curves.ts')).curvesCommand({ resultsFile, out, force })),
    );

  command('clips', 'steptone clips steptone-out/results.json --programme music.wav')
    .description(
      'Write sound clips that let a customer hear the missing bass: quiet, loud and restored, equally loud',
    )
    .argument('<results>', 'results.json from analyse')
    .option(
      '--programme <music>',
      'WAV with music; Steptone takes its first 30 s (default: a built-in phrase)',
    )
    .option(
      '--feed <feed>',
      'feed of the plan, such as feed-front-left (default: the subwoofer’s, if its outputs are full range)',
    )
    .option('--out <folder>', 'where to write (default: clips beside the results)')
    .option('--force', 'replace older clips', false)
    .action((resultsFile, { programme, feed, out, force, ...common }) =>
      asked(common, async ({ progress }) =>
        (await import('./clips.ts')).clipsCommand({ resultsFile, programme, feed, out, force }, progress),
      ),
    );

  command('gains', 'steptone gains --readings 55=3.2,997=8.0 --watts 100 --ohms 4')
    .description('Work out the gains of one output from a few meter readings')
    .requiredOption(
      '--readings <list>',
      'tone=volts at the highest clean setting; add @-5 where the tone was 5 dB below full scale',
    )
    .option('--low <list>', 'the same tones at a low setting, where the radio leaves the bass alone')
    .option('--line <volts>', 'most volts that the converter puts out (default: 4)')
    .requiredOption('--watts <watts>', 'rated power of the amplifier channel')
    .option('--ohms <ohms>', 'load for that rating (default: 4)')
    .option('--overlap <db>', 'gain overlap, 0 to 10 dB (default: 0)')
    .option('--speaker-watts <watts>', 'power rating of the speaker (default: not checked)')
    .option(
      '--sensitivity <volts>',
      'input volts for rated power with the gain fully up and fully down: 0.2,4',
    )
    .option('--restore <db>', 'most bass restoration, dB (default: 12)')
    .option('--input-limit <volts>', 'input limit of the converter')
    .action(({ json, quiet, ...given }) =>
      asked({ json, quiet }, async () => (await import('./gains.ts')).gainsCommand(given)),
    );

  command('schema', 'steptone schema session > session.schema.json')
    .description('Print the JSON Schema of the session file, the results or the proof')
    .argument('<session|results|verification>', 'which of the three')
    .action((which, options) =>
      asked(options, async () => (await import('./schema.ts')).schemaCommand(which)),
    );

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
