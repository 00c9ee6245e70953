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
  1  a fault of the tool itself
  2  something in the command, the session or the recordings has to be put right; nothing was written
  3  check only: the recordings were read, and the dash has to stay open
  4  verify and replan only: the recordings were read, and are not as planned
`;

/**
 * The command line as commander sees it. Each command only says what it was asked for, through `ask`; its work is
 * imported when it is called, so that --help is there at once.
 */
export function createProgram(ask: (request: Request) => void): Command {
  const program = new Command('steptone')
    .description(
      'Finds out from recordings what a factory car radio does to its speaker outputs, and what to do about it.',
    )
    .version(toolVersion())
    .exitOverride()
    .configureOutput({ writeErr: () => {} })
    .showSuggestionAfterError()
    .addHelpText('after', `\nExample:\n  steptone analyse recordings --settings 10-38/4\n${EXIT_STATUSES}`);

  command('new', 'steptone new recordings --settings 10-38/4 --taps front-left,front-right')
    .description('Ask five questions, and write the session file and the bench sheet of a job')
    .argument('<folder>', 'folder for the recordings; made if it is not there')
    .option('--name <text>', 'car and radio (default: Factory outputs)')
    .option('--settings <list>', 'volume settings to record: 10-38/4')
    .option('--taps <list>', 'outputs to record: front-left,front-right,rear-left,rear-right')
    .option('--level <level>', 'what comes out: speaker or line (default: not known; told from the volts)')
    .option('--channels <count>', 'channels of the recorder (default: 2)')
    .option('--calibration <figures>', 'pad ratio and full-scale volts RMS: 11,1.4 (default: none)')
    .action((folder, { json, quiet, ...given }) =>
      asked({ json, quiet }, async () => {
        const [{ newCommand }, { withPerson }] = await Promise.all([import('./new.ts'), import('./ask.ts')]);
        return withPerson((person) => newCommand({ folder, ...given }, person));
      }),
    );

  command('page', 'steptone page .')
    .description('Write the page that does the whole job in a browser, from the disk and without a network')
    .argument('<folder>', 'where to write, such as a stick for the laptop in the bay')
    .option('--force', 'replace a page that is there already', false)
    .action((folder, { force, ...common }) =>
      asked(common, async () => (await import('./page.ts')).pageCommand({ folder, force })),
    );

  command('tones', 'steptone tones usb-stick')
    .description('Write the test files for the stick, and the bench sheet')
    .argument('<folder>', 'where to write, such as the stick')
    .option('--settings <list>', 'volume settings for the take list of the bench sheet: 10-38/4')
    .option('--session <file>', 'session file or its folder: the bench sheet then names its taps and wires')
    .addOption(
      new Option('--rate <hz>', 'only the files of one sample rate (default: both)').choices([
        '44100',
        '48000',
      ]),
    )
    .option('--force', 'replace files that are there already', false)
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
    .description('Make the recordings that a described factory system would give, with the truth beside them')
    .argument('<scenario>', 'scenario file, YAML or JSON')
    .requiredOption('--out <folder>', 'where to write')
    .option('--force', 'replace files that are there already', false)
    .action((scenarioFile, { out, force, ...common }) =>
      asked(common, async ({ progress }) =>
        (await import('./simulate.ts')).simulateCommand({ scenarioFile, outFolder: out, force, progress }),
      ),
    );

  command('check', 'steptone check recordings --settings 10-38/4')
    .description('Say of recordings whether they are usable and enough, and what to record next')
    .argument('<recordings>', 'folder of WAV files, session file, or one WAV')
    .option('--settings <list>', 'volume settings in the order recorded: 10-38/4, 10-38 or 10,14,18')
    .option('--channels <taps>', 'which tap is on which channel: front-left,front-right (- for none)')
    .action((target, options) =>
      asked(options, async ({ progress }) =>
        (await import('./check.ts')).checkCommand({ target, ...options }, progress),
      ),
    );

  command('analyse', 'steptone analyse recordings --settings 10-38/4')
    .description('Measure recordings, and write the report and the results')
    .argument('<recordings>', 'folder of WAV files, session file, or one WAV')
    .option('--settings <list>', 'volume settings in the order recorded: 10-38/4, 10-38 or 10,14,18')
    .option('--channels <taps>', 'which tap is on which channel: front-left,front-right (- for none)')
    .option('--equipment <file>', 'converter, amplifiers and speakers in a file of their own, YAML or JSON')
    .option('--out <folder>', 'where to write (default: steptone-out beside the recordings)')
    .option('--force', 'replace a report that is there already', false)
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
      'Hold recordings behind the converter or the amplifier against the plan: pass or fail, and what to turn',
    )
    .argument(
      '<recordings>',
      'folder of WAV files, session file, or one WAV; each tap names the feed that it verifies',
    )
    .requiredOption('--plan <results>', 'results.json of the plan that was installed')
    .option('--settings <list>', 'volume settings in the order recorded: 10-38/4, 10-38 or 10,14,18')
    .option('--channels <taps>', 'which feed is on which channel: front-left,front-right (- for none)')
    .option('--out <folder>', 'where to write (default: steptone-out beside the recordings)')
    .option('--force', 'replace a proof that is there already', false)
    .action((target, options) =>
      asked(options, async ({ progress }) =>
        (await import('./verify.ts')).verifyCommand({ target, ...options }, progress),
      ),
    );

  command('replan', 'steptone replan steptone-out/results.json --equipment larger.yaml --out replanned')
    .description('Plan again for other equipment from the results alone, without the recordings')
    .argument('<results>', 'results.json that analyse wrote')
    .requiredOption('--equipment <file>', 'what would stand under equipment in a session file, YAML or JSON')
    .option('--out <folder>', 'where to write (default: replanned beside the results)')
    .option(
      '--confirm <take>',
      'one short take (WAV) of a tap in the plan: is the radio the same within 0.5 dB?',
    )
    .option(
      '--channels <taps>',
      'which tap is on which channel of that take (default: the tap the plan names)',
    )
    .option('--setting <number>', 'volume setting of that take (default: the one the plan names)')
    .option('--force', 'replace files that are there already', false)
    .action((resultsFile, { equipment, out, confirm, channels, setting, force, ...common }) =>
      asked(common, async ({ progress }) =>
        (await import('./replan.ts')).replanCommand(
          { resultsFile, equipmentFile: equipment, outFolder: out, confirm, channels, setting, force },
          progress,
        ),
      ),
    );

  command('curves', 'steptone curves steptone-out/results.json')
    .description('Write responses, ladders and volume law of the results as CSV tables, units in the headers')
    .argument('<results>', 'results.json that analyse wrote')
    .option('--out <folder>', 'where to write (default: curves beside the results)')
    .option('--force', 'replace tables that are there already', false)
    .action((resultsFile, { out, force, ...common }) =>
      asked(common, async () => (await import('./curves.ts')).curvesCommand({ resultsFile, out, force })),
    );

  command('clips', 'steptone clips steptone-out/results.json --programme music.wav')
    .description(
      'Write sound clips of equal loudness that let a customer hear the missing bass: quiet, loud, restored',
    )
    .argument('<results>', 'results.json that analyse wrote')
    .option('--programme <music>', 'WAV with music, its first 30 s (default: a phrase of our own)')
    .option(
      '--feed <feed>',
      'feed of the plan, such as feed-front-left (default: that of the subwoofer, if full range)',
    )
    .option('--out <folder>', 'where to write (default: clips beside the results)')
    .option('--force', 'replace clips that are there already', false)
    .action((resultsFile, { programme, feed, out, force, ...common }) =>
      asked(common, async ({ progress }) =>
        (await import('./clips.ts')).clipsCommand({ resultsFile, programme, feed, out, force }, progress),
      ),
    );

  command('gains', 'steptone gains --readings 55=3.2,997=8.0 --watts 100 --ohms 4')
    .description(
      'Work out converter and amplifier gains of one output from a few meter readings, without recordings',
    )
    .requiredOption(
      '--readings <list>',
      'tone=volts at the highest clean setting; @-5 after one that was not read at full scale',
    )
    .option('--low <list>', 'the same tones at a setting at which the bass is still whole')
    .option('--line <volts>', 'most volts of the line between converter and amplifier (default: 4)')
    .requiredOption('--watts <watts>', 'rated power of the amplifier channel')
    .option('--ohms <ohms>', 'load that it is rated into (default: 4)')
    .option('--overlap <db>', 'gain overlap, 0 to 10 dB (default: 0)')
    .option('--speaker-watts <watts>', 'what the speaker stands (default: not checked)')
    .option('--sensitivity <volts>', 'input volts for rated output, gain fully up and fully down: 0.2,4')
    .option('--restore <db>', 'most bass restoration (default: 12)')
    .option('--input-limit <volts>', 'most volts that the converter input takes')
    .action(({ json, quiet, ...given }) =>
      asked({ json, quiet }, async () => (await import('./gains.ts')).gainsCommand(given)),
    );

  command('schema', 'steptone schema session > session.schema.json')
    .description('Print the JSON Schema of the session file, of the results or of the proof after an install')
    .argument('<session|results|verification>', 'which of the three')
    .action((which, options) =>
      asked(options, async () => (await import('./schema.ts')).schemaCommand(which)),
    );

  return program;

  function command(name: string, example: string): Command {
    return program
      .command(name)
      .option('--json', 'print the outcome as JSON', false)
      .option('--quiet', 'print errors only', false)
      .addHelpText('after', `\nExample:\n  ${example}\n${EXIT_STATUSES}`);
  }

  function asked({ json, quiet }: CommonOptions, work: Work): void {
    ask({ json, quiet, work });
  }
}
