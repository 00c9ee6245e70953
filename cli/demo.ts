import { join, relative } from 'node:path';
import type { Progress } from '../src/commands/progress.ts';
import { analyseCommand } from './analyse.ts';
import { carryOut } from './carry-out.ts';
import type { Outcome } from './outcome.ts';
import { packageFolder } from './package-folder.ts';
import { simulateCommand } from './simulate.ts';

/** Its own folder, ignored by git: what an earlier run left there may be replaced without being asked. */
const OUT = join(relative(process.cwd(), packageFolder()), 'out', 'demo');
const SCENARIO = join(packageFolder(), 'sample-audio', 'demo-scenario.yaml');

process.exitCode = await carryOut({ json: false, quiet: false, work: ({ progress }) => demo(progress) });

/** `npm run demo`: an invented factory radio is recorded, analysed and reported. */
async function demo(progress: Progress): Promise<Outcome> {
  const recordings = join(OUT, 'recordings');
  await simulateCommand({ scenarioFile: SCENARIO, outFolder: recordings, force: true, progress });
  return analyseCommand({ target: recordings, out: OUT, force: true }, progress);
}
