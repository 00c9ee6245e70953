import { join } from 'node:path';
import type { Results } from '../src/model/results.ts';
import { type LoadedSession, loadSession } from './load-session.ts';
import { openRecordings } from './open-recordings.ts';
import type { Outcome } from './outcome.ts';
import { toolVersion } from './package-folder.ts';
import { readAhead } from './read-ahead.ts';
import type { Progress } from './terminal.ts';
import { checkTargets, writeTogether } from './write-together.ts';

export interface AnalyseOptions {
  readonly target: string;
  readonly settings?: string;
  readonly channels?: string;
  /** Comes before the equipment of the session. */
  readonly equipmentFile?: string;
  readonly out?: string;
  readonly force: boolean;
}

const DEFAULT_OUT = 'steptone-out';
const REPORT = 'report.html';
const RESULTS = 'results.json';

/**
 * Reads the session, measures its recordings, and writes report, sheets and results together or not at all.
 *
 * @throws SteptoneError for anything in session, recordings or folder that the user has to put right
 */
export async function analyseCommand(
  { target, settings, channels, equipmentFile, out, force }: AnalyseOptions,
  progress: Progress,
): Promise<Outcome> {
  const loaded = loadSession({ target, settings, channels, equipmentFile });
  const folder = out ?? join(loaded.folder, DEFAULT_OUT);
  const { SHEETS } = await import('../src/report/sheets.ts');
  const sheetNames = SHEETS.map(({ fileName }) => fileName);
  checkTargets({ folder, names: [REPORT, RESULTS, ...sheetNames], force });

  const results = await analysed(loaded, progress);
  const [{ renderReport }, { readReportAssets }, { summaryOf }] = await Promise.all([
    import('../src/report/render-report.ts'),
    import('./report-assets.ts'),
    import('./summary.ts'),
  ]);
  const files = {
    [REPORT]: renderReport(results, readReportAssets()),
    [RESULTS]: `${JSON.stringify(results)}\n`,
    ...Object.fromEntries(SHEETS.map(({ fileName, render }) => [fileName, render(results)])),
  };
  writeTogether({ folder, files, force });
  const [report, resultsFile] = [join(folder, REPORT), join(folder, RESULTS)];
  const { findings, recommendations, notes } = results;
  return {
    text: `${summaryOf(results)}\nReport:  ${report}\nSheets:  ${sheetNames.join(', ')} beside it\nResults: ${resultsFile}`,
    data: { report, results: resultsFile, findings, recommendations, notes },
  };
}

async function analysed(loaded: LoadedSession, onProgress: Progress): Promise<Results> {
  const recordings = openRecordings(loaded);
  try {
    const inputs = recordings.fingerprints(onProgress);
    // A wrong session is answered before the measuring code is loaded.
    const { analyse } = await import('../src/analyse.ts');
    const ahead = await readAhead({ loaded, recordings, progress: onProgress });
    return analyse({
      session: loaded.session,
      open: recordings.open,
      ahead,
      toolVersion: toolVersion(),
      inputs,
      onProgress,
    });
  } finally {
    recordings.close();
  }
}
