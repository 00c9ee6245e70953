import type { CommandLine } from './command-line.ts';

/** Commands that work on results, meter readings and formats alone. */
export function addResultsCommands(line: CommandLine): void {
  addReplan(line);
  addCurves(line);
  addClips(line);
  addGains(line);
  addSchema(line);
}

function addReplan({ command, asked }: CommandLine): void {
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
}

function addCurves({ command, asked }: CommandLine): void {
  command('curves', 'steptone curves steptone-out/results.json')
    .description('Write the curves as CSV tables: response, level and distortion by drive, level by setting')
    .argument('<results>', 'results.json from analyse')
    .option('--out <folder>', 'where to write (default: curves beside the results)')
    .option('--force', 'replace older tables', false)
    .action((resultsFile, { out, force, ...common }) =>
      asked(common, async () => (await import('./curves.ts')).curvesCommand({ resultsFile, out, force })),
    );
}

function addClips({ command, asked }: CommandLine): void {
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
}

function addGains({ command, asked }: CommandLine): void {
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
}

function addSchema({ command, asked }: CommandLine): void {
  command('schema', 'steptone schema session > session.schema.json')
    .description('Print the JSON Schema of the session file, the results, the proof or a scenario')
    .argument('<session|results|scenario|verification>', 'which of them')
    .action((which, options) =>
      asked(options, async () => (await import('./schema.ts')).schemaCommand(which)),
    );
}
