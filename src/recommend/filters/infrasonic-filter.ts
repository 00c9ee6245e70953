import type { Amplifier } from '../../model/equipment.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import { USUAL_SLOPE_DB_PER_OCTAVE } from './filter-loss.ts';
import { filterShortfall } from './filter-shortfall.ts';

/** Above this a high-pass takes music away that the woofer still plays at less than full output (common practice: 20 to 35 Hz). */
const HIGHEST_INFRASONIC_HZ = 35;

/** Cuts what would only move the cone. */
export function infrasonicFilter(
  amplifier: Amplifier | undefined,
  travelLimitHz: number,
): AdviceOf<'filter'> {
  const cornerHz = Math.min(travelLimitHz, HIGHEST_INFRASONIC_HZ);
  return {
    kind: 'filter',
    id: 'filter-subwoofer-high-pass',
    restsOn: [],
    reasons: [
      { code: 'cones run out of travel', belowHz: travelLimitHz },
      ...(cornerHz < travelLimitHz
        ? [{ code: 'cones play, not at full output' as const, fromHz: cornerHz, toHz: travelLimitHz }]
        : []),
    ],
    output: 'subwoofer',
    type: 'high-pass',
    state: 'set',
    cornerHz,
    slopeDbPerOctave: amplifier?.highPass?.slopeDbPerOctave ?? USUAL_SLOPE_DB_PER_OCTAVE,
    shortfall: filterShortfall(amplifier, 'high-pass', cornerHz),
  };
}
