import { type Doubt, touches } from '../model/doubt.ts';
import type { TapMeasurement } from '../model/measurement.ts';

/**
 * What a plan may rest on: measurements without those of takes in doubt. Where all of a tap are in doubt they stay: its findings
 * are withheld then, and the tap itself is still there.
 */
export function undoubted(
  measurements: readonly TapMeasurement[],
  doubts: readonly Doubt[],
): readonly TapMeasurement[] {
  const sure = new Set(measurements.flatMap((one) => (isDoubted(one, doubts) ? [] : [one.tapId])));
  return measurements.filter((one) => !sure.has(one.tapId) || !isDoubted(one, doubts));
}

/** Whether it is not sure that a measurement shows the radio at its setting. */
export function isDoubted(one: TapMeasurement, doubts: readonly Doubt[]): boolean {
  return doubts.some(
    (doubt) =>
      (doubt.kind === 'take' || doubt.kind === 'setting' || doubt.kind === 'gain') && touches(doubt, one),
  );
}
