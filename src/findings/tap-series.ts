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
  /** The same measurements, with what several findings need. */
  readonly takes: readonly TapTake[];
}

/** The measurements sorted by tap (in the session's order) and setting; taps that were not recorded are left out. */
export function tapSeries(of: { session: Session; measurements: readonly TapMeasurement[] }): TapSeries[] {
  return of.session.taps.flatMap((tap) => {
    const measurements = of.measurements
      .filter(({ tapId }) => tapId === tap.id)
      .sort((one, other) => one.setting - other.setting);
    if (measurements.length === 0) return [];
    const routing = findRouting({ tap, measurements });
    const heardInAir = tap.position === 'microphone';
    const takes = measurements.map((measurement) => tapTake(measurement, routing.carries, { heardInAir }));
    return [{ tap, carries: routing.carries, routing, measurements, takes }];
  });
}

export function allEvidence(measurements: readonly TapMeasurement[]): Evidence[] {
  return measurements.flatMap(({ evidence }) => [...evidence]);
}

export function evidenceOf(takes: readonly TapTake[]): Evidence[] {
  return allEvidence(takes.map(({ measurement }) => measurement));
}
