import type { FindingOf } from '../../model/finding.ts';
import type { NotMeasurable } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';

/** A band finding that says nothing but why. */
export function bandWithheld(finding: FindingOf<'band'>, reason: Reason): FindingOf<'band'> {
  return { ...finding, verdict: 'cannot be told', reason, lowEdge: null, highEdge: null, fixedEq: [] };
}

/** A clipping finding that says nothing but why, at each of its settings. */
export function clippingWithheld(
  finding: FindingOf<'clipping'>,
  answer: NotMeasurable,
): FindingOf<'clipping'> {
  return {
    ...finding,
    perSetting: finding.perSetting.map(({ setting }) => ({ setting, driveDbFs: answer, voltsRms: answer })),
    place: 'cannot be told',
    highestCleanRecorded: null,
    firstClippingRecorded: null,
    highestCleanComputed: null,
  };
}
