import type { Equipment } from '../model/equipment.ts';
import { isNotMeasurable } from '../model/measured.ts';
import { recommendationsOf } from '../model/recommendation.ts';
import type { Results } from '../model/results.ts';
import type { PlanComparison } from '../recommend/compare-plans.ts';
import { planAgain } from '../recommend/plan-again.ts';
import { type ConfirmedRadio, confirmedLine } from './confirm-radio.ts';
import { resultFiles } from './result-files.ts';
import type { Shell } from './shell.ts';

export interface ReplannedJob {
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
