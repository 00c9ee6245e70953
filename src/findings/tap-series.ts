import { type Doubt, type DoubtKind, touches } from '../model/doubt.ts';
import type { Evidence } from '../model/evidence.ts';
import type { FindingOf } from '../model/finding.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Session, Tap } from '../model/session.ts';
import { findRouting } from './arrival/routing.ts';
import type { Carries } from './band/carried-response.ts';
import { type TapTake, tapTake } from './tap-take.ts';

/** One tap over all settings at which it was recorded, ascending, with what it carries. */
export interface TapSeries {
  readonly tap: Tap;
  readonly carries: Carries;
  readonly routing: FindingOf<'routing'>;
  readonly measurements: readonly TapMeasurement[];
  /** Those of them whose setting is sure, with what several findings need. */
  readonly takes: readonly TapTake[];
}

/**
 * The measurements sorted by tap (in the session's order) and setting; taps that were not recorded are left out, and of the
 * others the takes in doubt. Where all are in doubt they stay, so that there are findings to withhold.
 */
export function tapSeries(of: {
  session: Session;
  measurements: readonly TapMeasurement[];
  doubts?: readonly Doubt[];
}): TapSeries[] {
  const doubts = of.doubts ?? [];
  return of.session.taps.flatMap((tap) => {
    const recorded = of.measurements
      .filter(({ tapId }) => tapId === tap.id)
      .sort((one, other) => one.setting - other.setting);
    if (recorded.length === 0) return [];
    const measurements = withoutDoubted(recorded, doubts, 'take');
    const routing = findRouting({ tap, measurements });
    const heardInAir = tap.position === 'microphone';
    const takes = withoutDoubted(measurements, doubts, 'setting').map((measurement) =>
      tapTake(measurement, routing.carries, { heardInAir }),
    );
    return [{ tap, carries: routing.carries, routing, measurements, takes }];
  });
}

function withoutDoubted(
  measurements: readonly TapMeasurement[],
  doubts: readonly Doubt[],
  kind: DoubtKind,
): readonly TapMeasurement[] {
  const sure = measurements.filter(
    (one) => !doubts.some((doubt) => doubt.kind === kind && touches(doubt, one)),
  );
  return sure.length === 0 ? measurements : sure;
}

export function allEvidence(measurements: readonly TapMeasurement[]): Evidence[] {
  return measurements.flatMap(({ evidence }) => [...evidence]);
}

export function evidenceOf(takes: readonly TapTake[]): Evidence[] {
  return allEvidence(takes.map(({ measurement }) => measurement));
}
