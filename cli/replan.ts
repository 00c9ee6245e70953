import { dirname, join } from 'node:path';
import { confirmRadio } from '../src/commands/confirm-radio.ts';
import type { Progress } from '../src/commands/progress.ts';
import { readEquipment } from '../src/commands/read-equipment.ts';
import { readResults } from '../src/commands/read-results.ts';
import { replanJob } from '../src/commands/replan-job.ts';
import { RESULTS_FILE } from '../src/commands/result-files.ts';
import { REPORT_FILE, SHEET_FILES } from '../src/report/page-files.ts';
import { confirmedLine } from '../src/words/lines/same-radio-lines.ts';
import { writtenLines } from './analyse.ts';
import { checkTargets } from './check-targets.ts';
import { diskFile } from './disk-folder.ts';
import { EXIT_NOT_AS_PLANNED } from './failure.ts';
import { findSession } from './find-session.ts';
import type { Outcome } from './outcome.ts';
import { sha256 } from './sha256.ts';
import { terminalShell } from './shell.ts';
import { writeTogether } from './write-together.ts';

interface ReplanArguments {
  /** Results that `analyse` wrote. */
  readonly resultsFile: string;
  /** Equipment, YAML or JSON: what stands under `equipment` in a session file. */
  readonly equipmentFile: string;
  /** Where to write; beside the results where absent. */
  readonly outFolder?: string;
  /** One short take that shows that the radio is the same. */
  readonly confirm?: string;
  readonly channels?: string;
  readonly setting?: string;
  readonly force: boolean;
}

const DEFAULT_OUT = 'replanned';

/**
 * Plans again for other equipment from the saved results alone, and writes report, sheets and results together or not at all.
 * With a confirming take that shows another radio nothing is written.
 *
 * @returns status 4 where the radio is not the same
 * @throws SteptoneError 'file-missing', 'usage' where the file is no results file, 'session-field' for equipment that is
 *   wrong, 'would-overwrite', 'cannot-write'
 */
export async function replanCommand(
  {
    resultsFile,
    equipmentFile,
    outFolder = join(dirname(resultsFile), DEFAULT_OUT),
    confirm,
    channels,
    setting,
    force,
  }: ReplanArguments,
  onProgress: Progress,
): Promise<Outcome> {
  checkTargets({ folder: outFolder, names: [REPORT_FILE, RESULTS_FILE, ...SHEET_FILES], force });
  const [plan, parts] = [diskFile(resultsFile), diskFile(equipmentFile)];
  const saved = readResults(plan, { sha256 });
  const equipment = readEquipment(parts.folder, parts.file);
  const shell = terminalShell(onProgress);
  const confirmed =
    confirm === undefined
      ? null
      : await confirmRadio(saved, { take: findSession(confirm), where: confirm, channels, setting }, shell);
  if (confirmed !== null && !confirmed.same) {
    const text = `${confirmedLine(confirmed)} Nothing was written.`;
    return { text, data: { confirmed }, status: EXIT_NOT_AS_PLANNED };
  }
  const { results, comparison, lines, files } = await replanJob({ saved, equipment, confirmed }, shell);
  writeTogether({ folder: outFolder, files, force });
  const { summaryOf } = await import('../src/commands/summary.ts');
  return {
    text: [...lines, '', summaryOf(results), ...writtenLines(outFolder)].join('\n'),
    data: { confirmed, comparison, recommendations: results.recommendations },
  };
}
