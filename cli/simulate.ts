import { stringify } from 'yaml';
import { encodeWav } from '../src/audio/write-wav.ts';
import { SESSION_FILE } from '../src/commands/new-job.ts';
import type { Progress } from '../src/commands/progress.ts';
import { readText } from '../src/commands/read-text.ts';
import { planFiles } from '../src/simulate/file-plan.ts';
import { parseScenario } from '../src/simulate/read-scenario.ts';
import { simulate } from '../src/simulate/simulate.ts';
import { diskFile } from './disk-folder.ts';
import { hearSignals } from './hold-signals.ts';
import type { Outcome } from './outcome.ts';
import { beginTogether } from './write-together.ts';

const TRUTH_FILE = 'truth.json';

interface SimulateArguments {
  readonly scenarioFile: string;
  readonly outFolder: string;
  readonly force: boolean;
  readonly progress?: Progress;
}

/**
 * Writes the recordings of a scenario, the session file to analyse them with, and the truth to hold the answer against, all
 * or none.
 *
 * @throws SteptoneError 'file-missing' or 'scenario-field' for the scenario, 'would-overwrite' before anything is written,
 *   'cannot-write'
 */
export async function simulateCommand(args: SimulateArguments): Promise<Outcome> {
  const { scenarioFile, outFolder, force, progress } = args;
  const given = diskFile(scenarioFile);
  const scenario = parseScenario({ fileName: scenarioFile, text: readText(given.folder, given.file) });
  const { recordings, session, truth } = simulate(scenario);
  const planned = planFiles(scenario).map(({ file }) => file);
  const names = [...planned, SESSION_FILE, TRUTH_FILE];
  const set = beginTogether({ folder: outFolder, names, force });
  try {
    let done = 0;
    for (const { file, sampleRateHz, bits, channels } of recordings()) {
      progress?.(done++, planned.length, file);
      set.add(file, encodeWav({ sampleRateHz, channels, bitDepth: bits }));
      await hearSignals();
    }
    set.add(SESSION_FILE, stringify(session));
    set.add(TRUTH_FILE, `${JSON.stringify(truth, null, 1)}\n`);
    set.finish();
  } finally {
    set.abandon();
  }

  return {
    text: [
      `${planned.length} recordings of '${scenario.name}' are in ${outFolder}, with ${SESSION_FILE} and ${TRUTH_FILE}.`,
      `Next: steptone analyse ${outFolder}`,
    ].join('\n'),
    data: { folder: outFolder, files: names },
  };
}
