import { join } from 'node:path';
import { analyse } from '../src/analyse.ts';
import type { Results } from '../src/model/results.ts';
import { renderReport } from '../src/report/render-report.ts';
import { refuseToOverwrite } from './files.ts';
import { type LoadedSession, loadSession } from './load-session.ts';
import { openRecordings } from './open-recordings.ts';
import type { Outcome } from './outcome.ts';
import { toolVersion } from './package-folder.ts';
import { readReportAssets } from './report-assets.ts';
import { summaryOf } from './summary.ts';
import type { Progress } from './terminal.ts';
import { writeTogether } from './write-together.ts';

export interface AnalyseOptions {
  readonly target: string;
  readonly settings?: string;
  readonly channels?: string;
  readonly out?: string;
  readonly force: boolean;
}

const DEFAULT_OUT = 'steptone-out';
const REPORT = 'report.html';
const RESULTS = 'results.json';

/**
 * Reads the session, measures its recordings, and writes report and results together or not at all.
 *
 * @throws SteptoneError for anything in session, recordings or folder that the user has to put right
 */
export function analyseCommand(
  { target, settings, channels, out, force }: AnalyseOptions,
  progress: Progress,
): Outcome {
  const loaded = loadSession({ target, settings, channels });
  const folder = out ?? join(loaded.folder, DEFAULT_OUT);
  const [report, resultsFile] = [join(folder, REPORT), join(folder, RESULTS)];
  // Before the long work, not after it.
  refuseToOverwrite([report, resultsFile], { force });

  const results = analysed(loaded, progress);
  const files = {
    [REPORT]: renderReport(results, readReportAssets()),
    [RESULTS]: `${JSON.stringify(results, null, 1)}\n`,
  };
  writeTogether({ folder, files, force });
  const { findings, recommendations, notes } = results;
  return {
    text: `${summaryOf(results)}\nReport:  ${report}\nResults: ${resultsFile}`,
    data: { report, results: resultsFile, findings, recommendations, notes },
  };
}

function analysed(loaded: LoadedSession, onProgress: Progress): Results {
  const recordings = openRecordings(loaded);
  try {
    const inputs = recordings.fingerprints(onProgress);
    return analyse({
      session: loaded.session,
      open: recordings.open,
      toolVersion: toolVersion(),
      inputs,
      onProgress,
    });
  } finally {
    recordings.close();
  }
}
