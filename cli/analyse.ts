import { join } from 'node:path';
import { analyseJob } from '../src/commands/analyse-job.ts';
import type { Progress } from '../src/commands/progress.ts';
import { RESULTS_FILE } from '../src/commands/result-files.ts';
import { REPORT_FILE, SHEET_FILES } from '../src/report/page-files.ts';
import { photoLines } from '../src/words/lines/photo-lines.ts';
import { checkTargets } from './check-targets.ts';
import { loadSession } from './load-session.ts';
import type { Outcome } from './outcome.ts';
import { terminalShell } from './shell.ts';
import { writeTogether } from './write-together.ts';

interface AnalyseOptions {
  readonly target: string;
  readonly settings?: string;
  readonly channels?: string;
  /** Comes before the equipment of the session. */
  readonly equipmentFile?: string;
  readonly out?: string;
  readonly force: boolean;
}

const DEFAULT_OUT = 'steptone-out';

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
  const folder = out ?? join(loaded.folder.name, DEFAULT_OUT);
  checkTargets({ folder, names: [REPORT_FILE, RESULTS_FILE, ...SHEET_FILES], force });

  const { results, files, photos } = await analyseJob(loaded, terminalShell(progress));
  writeTogether({ folder, files, force });
  const { summaryOf } = await import('../src/commands/summary.ts');
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

/** Where the pages and the results are. */
export function writtenLines(folder: string): string[] {
  return [
    `Report:  ${join(folder, REPORT_FILE)}`,
    `Sheets:  ${SHEET_FILES.join(', ')} beside it`,
    `Results: ${join(folder, RESULTS_FILE)}`,
  ];
}
