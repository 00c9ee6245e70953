import type { Finding } from '../model/finding.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Session } from '../model/session.ts';
import { findBassChanges } from './bass-change.ts';
import { findBassLimiter } from './bass-limiter.ts';
import { findClipping } from './clipping.ts';
import { findNoise } from './noise.ts';
import { findRail, voltsWithheld } from './rail.ts';
import { findRecorderClipping } from './recorder-clipping.ts';
import { tapSeries } from './tap-series.ts';
import { findVolumeLaw } from './volume-law.ts';
import { withholdVolts } from './withhold-volts.ts';

/**
 * Everything that the measurements say about the radio, each finding with its evidence. Where the volts at which an output
 * clips contradict its supply, all volts are withheld until the question is answered.
 */
export function findAll({
  session,
  measurements,
}: {
  session: Session;
  measurements: readonly TapMeasurement[];
}): Finding[] {
  const series = tapSeries({ session, measurements });
  const perTap = series.flatMap((tap): (Finding | null)[] => [
    tap.routing,
    findVolumeLaw(tap),
    ...findClipping(tap),
    findRail({ series: tap, session }),
    findRecorderClipping(tap),
    findBassLimiter(tap),
    findNoise(tap),
  ]);
  const findings = [...findBassChanges(series), ...perTap.filter((finding) => finding !== null)];
  const question = voltsWithheld(findings);
  return question === null ? findings : withholdVolts(findings, question);
}
