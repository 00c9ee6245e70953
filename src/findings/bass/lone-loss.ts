import type { Doubt } from '../../model/doubt.ts';
import type { FindingOf } from '../../model/finding.ts';
import { codeOf, type Reason } from '../../model/reason.ts';
import type { BassDifference } from './bass-onset.ts';

/** Radios take 6 to 15 dB over half of their range, below a decibel a step (common practice); a low cut takes it at once. */
const MOST_DB_PER_STEP = 1;
const LEAST_DB = 3;

/**
 * Why a loss is not laid to the radio yet: the highest setting alone shows it, all at once, in one take. A low cut or a bass knob
 * that was moved for that take looks the same. Null where more shows it, or so little that a volume control does it.
 *
 * @param above settings from the plateau up, ascending
 */
export function loneLoss(
  above: readonly BassDifference[],
  { lastIntact, firstChanged, tapId }: { lastIntact: number; firstChanged: number; tapId: string },
): Doubt | null {
  const top = above.at(-1);
  if (top === undefined || top.level.setting !== firstChanged) return null;
  if (top.level.measurement.repeats.count > 1) return null;
  const lossDb = -Math.min(0, ...top.changes.flatMap((change) => change?.value ?? []));
  return lossDb > Math.max(LEAST_DB, MOST_DB_PER_STEP * (firstChanged - lastIntact))
    ? {
        kind: 'setting',
        reason: {
          code: 'one take alone shows the cut',
          settings: [firstChanged],
          lossDb: Math.round(lossDb),
        },
        tapIds: [tapId],
        settings: [firstChanged],
      }
    : null;
}

/** That of a finding; null where more than one take shows its loss. */
export function loneLossOf({ doubts = [] }: FindingOf<'bass-change'>): Reason | null {
  return doubts.find(({ reason }) => codeOf(reason) === 'one take alone shows the cut')?.reason ?? null;
}
