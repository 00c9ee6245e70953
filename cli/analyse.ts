import { join } from 'node:path';
import type { Results } from '../src/model/results.ts';
import { REPORT_FILE, SHEET_FILES } from '../src/report/page-files.ts';
import { checkTargets } from './check-targets.ts';
import { type LoadedSession, loadSession } from './load-session.ts';
import { openRecordings } from './open-recordings.ts';
import type { Outcome } from './outcome.ts';
import { toolVersion } from './package-folder.ts';
import { readAhead } from './read-ahead.ts';
import type { ReadPhotos } from './read-photos.ts';
import { textOfResults } from './read-results.ts';
import type { Progress } from './terminal.ts';
import { writeTogether } from './write-together.ts';

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
export const RESULTS_FILE = 'results.json';

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
  checkTargets({ folder, names: [REPORT_FILE, RESULTS_FILE, ...SHEET_FILES], force });

  const results = await analysed(loaded, progress);
  const [{ renderPages }, { readReportAssets }, { readPhotos }, { summaryOf }] = await Promise.all([
    import('../src/report/pages.ts'),
    import('./report-assets.ts'),
    import('./read-photos.ts'),
    import('./summary.ts'),
  ]);
  const photos = readPhotos(loaded);
  const files = {
    ...renderPages(results, readReportAssets(), photos.images),
    [RESULTS_FILE]: textOfResults(results),
  };
  writeTogether({ folder, files, force });
  const { findings, recommendations, notes } = results;
  return {
    text: [summaryOf(results), ...photoLines(photos), ...writtenLines(folder)].join('\n'),
    data: {
      report: join(folder, REPORT_FILE),
      results: join(folder, RESULTS_FILE),
      findings,
      recommendations,
      notes,
      photos: [...photos.images.keys()],
    },
  };
}

/** What was put into the pages is named: it goes to whoever gets them. */
function photoLines({ images, remarks }: ReadPhotos): string[] {
  const shown = [...images.keys()];
  return [
    ...(shown.length === 0 ? [] : [`Photos in report and sheets: ${shown.join(', ')}`]),
    ...remarks.map((remark) => `Photo ${remark}`),
  ];
}

/** Where the pages and the results are. */
export function writtenLines(folder: string): string[] {
  return [
    `Report:  ${join(folder, REPORT_FILE)}`,
    `Sheets:  ${SHEET_FILES.join(', ')} beside it`,
    `Results: ${join(folder, RESULTS_FILE)}`,
  ];
}

async function analysed(loaded: LoadedSession, onProgress: Progress): Promise<Results> {
  const recordings = openRecordings(loaded);
  try {
    onProgress(0, loaded.session.recordings.length, 'the recordings');
    const ahead = await readAhead({ loaded, recordings, progress: onProgress, withFingerprints: true });
    const inputs = recordings.fingerprints(onProgress, ahead?.fingerprints);
    const { analyse } = await import('../src/analyse.ts');
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
