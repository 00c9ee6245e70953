import type { FindingOf } from '../../model/finding.ts';

type BassChange = FindingOf<'bass-change'>;

/**
 * Whether the car has to wait for settings that this tap's bass can be held against. A loss that is known as a minimum need not
 * be known better where another output keeps its bass: the subwoofer is fed from that one.
 */
export function awaitsReference(
  { plateauSettings, atLeast }: BassChange,
  all: readonly BassChange[],
): boolean {
  if (plateauSettings.length > 0) return false;
  return atLeast === undefined || !all.some(({ verdict }) => verdict === 'steady');
}
