import type { TapMeasurement } from '../../model/measurement.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import { delayBetween, movedEarlier } from './delay-between.ts';

/**
 * Brings takes of one setting to one time zero wherever they share a tap (the reference tap in every file, or a linking
 * take), so that arrivals compare between files. Takes that share nothing keep a time origin of their own.
 *
 * @param takes one list of measurements a take, all of the same setting
 * @param referenceTapId the tap to go by where several are shared
 */
export function linkTakes(
  takes: readonly (readonly TapMeasurement[])[],
  referenceTapId: string | null,
): TapMeasurement[] {
  const waiting = takes.map((take) => [...take]);
  const linked: TapMeasurement[] = [];
  while (waiting.length > 0) {
    const [origin] = waiting.splice(0, 1);
    linked.push(...origin);
    const group = [...origin];
    for (let joined = true; joined; ) {
      joined = false;
      for (const take of waiting) {
        const moved = joinByCommonTap({ group, take, referenceTapId });
        if (moved === null) continue;
        waiting.splice(waiting.indexOf(take), 1);
        group.push(...moved);
        linked.push(...moved);
        joined = true;
        break;
      }
    }
  }
  return linked;
}

/** The take's measurements on the group's time zero; null where no tap is common or its delay cannot be read. */
function joinByCommonTap(of: {
  group: readonly TapMeasurement[];
  take: readonly TapMeasurement[];
  referenceTapId: string | null;
}): TapMeasurement[] | null {
  const common = of.take
    .filter(({ tapId }) => of.group.some((known) => known.tapId === tapId))
    .sort((a, b) => Number(b.tapId === of.referenceTapId) - Number(a.tapId === of.referenceTapId));
  for (const measurement of common) {
    const known = of.group.find(({ tapId }) => tapId === measurement.tapId)!;
    const delay = delayBetween({
      earlier: strongerSide(known, known),
      later: strongerSide(measurement, known),
    });
    if (delay !== null)
      return of.take.map((one) => onTimeZero(one, { seconds: delay.value, timeOrigin: known.timeOrigin }));
  }
  return null;
}

/** The programme that `judge` carries more of, from `of`. */
function strongerSide(of: TapMeasurement, judge: TapMeasurement): FrequencyResponse {
  const energy = ({ real, imag }: FrequencyResponse) =>
    real.reduce((sum, re, i) => sum + re * re + imag[i] * imag[i], 0);
  return energy(judge.left) >= energy(judge.right) ? of.left : of.right;
}

function onTimeZero(one: TapMeasurement, to: { seconds: number; timeOrigin: string }): TapMeasurement {
  return {
    ...one,
    timeOrigin: to.timeOrigin,
    left: movedEarlier(one.left, to.seconds),
    right: movedEarlier(one.right, to.seconds),
    bothLowDrive: one.bothLowDrive === null ? null : movedEarlier(one.bothLowDrive, to.seconds),
  };
}
