import type { Equipment } from '../model/equipment.ts';
import type { Results } from '../model/results.ts';
import type { PlanComparison } from '../recommend/compare-plans.ts';
import { planAgain } from '../recommend/plan-again.ts';
import { confirmedLine, confirmLines } from '../words/lines/same-radio-lines.ts';
import type { ConfirmedRadio } from './confirm-radio.ts';
import { resultFiles } from './result-files.ts';
import type { Shell } from './shell.ts';

interface ReplannedJob {
  readonly results: Results;
  readonly comparison: PlanComparison;
  /** What changes, and how to know that the radio is still the same. */
  readonly lines: readonly string[];
  readonly files: Readonly<Record<string, string>>;
}

/** Plans again for other equipment from saved results alone. */
export async function replanJob(
  { saved, equipment, confirmed }: { saved: Results; equipment: Equipment; confirmed: ConfirmedRadio | null },
  shell: Pick<Shell, 'reportAssets' | 'sha256'>,
): Promise<ReplannedJob> {
  const { results, comparison } = planAgain(saved, equipment);
  const [{ comparisonLines }, { NO_IMAGES }] = await Promise.all([
    import('../report/comparison-lines.ts'),
    import('../report/photos.ts'),
  ]);
  return {
    results,
    comparison,
    lines: [
      ...comparisonLines({ comparison, before: saved, after: results }),
      ...(confirmed === null ? confirmLines(results) : [confirmedLine(confirmed)]),
    ],
    files: await resultFiles({ results, images: NO_IMAGES }, shell),
  };
}
