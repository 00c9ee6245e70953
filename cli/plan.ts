import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { checkDocument } from '../src/model/checked-document.ts';
import { type Equipment, equipmentSchema } from '../src/model/equipment.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { isNotMeasurable } from '../src/model/measured.ts';
import { recommendationsOf } from '../src/model/recommendation.ts';
import { type Results, resultsSchema } from '../src/model/results.ts';
import type { PlanComparison } from '../src/recommend/compare-plans.ts';
import { planAgain } from '../src/recommend/plan-again.ts';
import { fileSource } from './files.ts';
import type { Outcome } from './outcome.ts';
import { readText } from './read-text.ts';
import { checkTargets, writeTogether } from './write-together.ts';

export interface PlanArguments {
  /** Results that `analyse` wrote. */
  readonly resultsFile: string;
  /** Equipment, YAML or JSON: what stands under `equipment` in a session file. */
  readonly equipmentFile: string;
  readonly outFolder: string;
  readonly force: boolean;
}

const REPORT = 'report.html';
const RESULTS = 'results.json';

/**
 * Plans again for other equipment from the saved results alone, and writes report and results together or not at all.
 *
 * @throws SteptoneError 'file-missing', 'usage' where the file is no results file, 'session-field' for equipment that is
 *   wrong, 'would-overwrite', 'cannot-write'
 */
export async function planCommand({
  resultsFile,
  equipmentFile,
  outFolder,
  force,
}: PlanArguments): Promise<Outcome> {
  checkTargets({ folder: outFolder, names: [REPORT, RESULTS], force });
  const saved = readResults(resultsFile);
  const { results, comparison } = planAgain(saved, readEquipment(equipmentFile));
  const [{ renderReport }, { readReportAssets }, { summaryOf }] = await Promise.all([
    import('../src/report/render-report.ts'),
    import('./report-assets.ts'),
    import('./summary.ts'),
  ]);
  const files = {
    [REPORT]: renderReport(results, readReportAssets()),
    [RESULTS]: `${JSON.stringify(results)}\n`,
  };
  writeTogether({ folder: outFolder, files, force });
  return {
    text: [
      ...comparisonLines(comparison),
      ...confirmLines(results),
      '',
      summaryOf(results),
      `Report:  ${join(outFolder, REPORT)}`,
      `Results: ${join(outFolder, RESULTS)}`,
    ].join('\n'),
    data: { comparison, recommendations: results.recommendations },
  };
}

function readResults(path: string): Results {
  fileSource(path).close();
  const found = parsed(readFileSync(path, 'utf8'));
  const checked = resultsSchema.safeParse(found);
  if (checked.success) return checked.data;
  const [issue] = checked.error.issues;
  throw new SteptoneError({
    code: 'usage',
    expected: 'a results file that steptone analyse wrote',
    found:
      found === null ? 'no JSON' : `a wrong field ${issue.path.join('.')}: ${issue.message.toLowerCase()}`,
    where: path,
    likelyCause: 'it is another file, or was written by another version',
    nextStep: `name the ${RESULTS} beside the report`,
  });
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function readEquipment(fileName: string): Equipment {
  return checkDocument(
    { fileName, text: readText(fileName) },
    {
      schema: equipmentSchema,
      syntaxCode: 'session-syntax',
      fieldCode: () => 'session-field',
      expected: 'equipment in YAML or JSON, such as amplifiers: [{ feeds: [subwoofer], ratedWatts: 500 }]',
      nextStep: 'write what would stand under equipment in a session file',
    },
  ).value;
}

function comparisonLines({ stays, changes, added, dropped }: PlanComparison): string[] {
  const line = (label: string, ids: readonly string[]) =>
    ids.length === 0 ? [] : [`${label}: ${ids.join(', ')}`];
  return [
    ...line('Stays as it was', stays),
    ...line(
      'Changes',
      changes.map(({ id, fields }) => `${id} (${fields.join(', ')})`),
    ),
    ...line('New', added),
    ...line('No longer', dropped),
  ];
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
