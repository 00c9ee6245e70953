import { dirname, join } from 'node:path';
import { isNotMeasurable } from '../src/model/measured.ts';
import { recommendationsOf } from '../src/model/recommendation.ts';
import type { Results } from '../src/model/results.ts';
import { planAgain } from '../src/recommend/plan-again.ts';
import { REPORT_FILE, SHEET_FILES } from '../src/report/page-files.ts';
import { RESULTS_FILE, writtenLines } from './analyse.ts';
import { checkTargets } from './check-targets.ts';
import { confirmedLine, confirmRadio } from './confirm-radio.ts';
import { EXIT_NOT_AS_PLANNED } from './failure.ts';
import type { Outcome } from './outcome.ts';
import { readEquipment } from './read-equipment.ts';
import { readResults, textOfResults } from './read-results.ts';
import type { Progress } from './terminal.ts';
import { writeTogether } from './write-together.ts';

export interface ReplanArguments {
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
  const saved = readResults(resultsFile);
  const equipment = readEquipment(equipmentFile);
  const confirmed =
    confirm === undefined ? null : confirmRadio(saved, { take: confirm, channels, setting }, onProgress);
  if (confirmed !== null && !confirmed.same) {
    const text = `${confirmedLine(confirmed)} Nothing was written.`;
    return { text, data: { confirmed }, status: EXIT_NOT_AS_PLANNED };
  }
  const { results, comparison } = planAgain(saved, equipment);
  const [{ renderPages }, { comparisonLines }, { NO_IMAGES }, { readReportAssets }, { summaryOf }] =
    await Promise.all([
      import('../src/report/pages.ts'),
      import('../src/report/comparison-lines.ts'),
      import('../src/report/photos.ts'),
      import('./report-assets.ts'),
      import('./summary.ts'),
    ]);
  const files = {
    ...renderPages(results, readReportAssets(), NO_IMAGES),
    [RESULTS_FILE]: textOfResults(results),
  };
  writeTogether({ folder: outFolder, files, force });
  return {
    text: [
      ...comparisonLines({ comparison, before: saved, after: results }),
      ...(confirmed === null ? confirmLines(results) : [confirmedLine(confirmed)]),
      '',
      summaryOf(results),
      ...writtenLines(outFolder),
    ].join('\n'),
    data: { confirmed, comparison, recommendations: results.recommendations },
  };
}

function confirmLines({ recommendations }: Results): string[] {
  return recommendationsOf(recommendations, 'confirm').map(
    ({ tapId, setting, toneHz, voltsRms, withinDb }) => {
      const reading = isNotMeasurable(voltsRms)
        ? 'the level of the old recording'
        : `${voltsRms.value.toFixed(2)} V`;
      return `First confirm that the radio is the same: ${tapId} at setting ${setting}, ${toneHz} Hz at 0 dBFS, ${reading} within ${withinDb} dB.`;
    },
  );
}
