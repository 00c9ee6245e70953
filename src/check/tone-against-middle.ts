import { decibels } from '../dsp/decibels.ts';
import { mean } from '../dsp/statistics.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import { type MagnitudeCurve, magnitudeAt, magnitudeCurve } from '../model/response.ts';

/** Bass and treble controls act fully here, and hardly in the middle (common practice). */
const BASS_HZ = [40, 50, 63, 80] as const;
export const MIDDLE_HZ = [400, 630, 1000, 1600, 2500] as const;
const TREBLE_HZ = [8000, 10_000, 12_500] as const;

interface ToneAgainstMiddle {
  /** Mean levels against the middle, decibels. */
  readonly bass: number;
  readonly treble: number;
}

/** Bass and treble of one tap at one setting against its middle; null where it does not carry all of them. */
export function toneAgainstMiddle(measurement: TapMeasurement): ToneAgainstMiddle | null {
  const curve = strongerCurve(measurement);
  const [bass, middle, treble] = [BASS_HZ, MIDDLE_HZ, TREBLE_HZ].map((hz) => meanDb(curve, hz));
  return bass === null || middle === null || treble === null
    ? null
    : { bass: bass - middle, treble: treble - middle };
}

/** Of the programme that the tap carries more of. */
export function strongerCurve({ left, right }: TapMeasurement): MagnitudeCurve {
  const [one, other] = [magnitudeCurve([left]), magnitudeCurve([right])];
  return one.strongest >= other.strongest ? one : other;
}

/** Mean level at some frequencies; null where one of them is not trusted. */
export function meanDb(curve: MagnitudeCurve, frequenciesHz: readonly number[]): number | null {
  const levels = frequenciesHz.flatMap((hz) => {
    const magnitude = magnitudeAt(curve, hz);
    return magnitude === null ? [] : [decibels(magnitude)];
  });
  return levels.length < frequenciesHz.length ? null : mean(levels);
}
