import type { MeasurementRecord, Results } from '../../model/results.ts';
import { measurementsOf } from './curves.ts';

type Step = MeasurementRecord['ladders'][number]['steps'][number];

export interface DistortionCurve {
  readonly setting: number;
  readonly highestHarmonic: number;
  readonly steps: readonly Step[];
}

/** Tones whose ladders were recorded at a tap, the lowest first. */
export function tonesOf(results: Results, tapId: string): number[] {
  const tones = measurementsOf(results, tapId).flatMap(({ ladders }) => ladders.map(({ toneHz }) => toneHz));
  return [...new Set(tones)].sort((a, b) => a - b);
}

/** Steps of a tone at each setting of a tap; none where the tap hardly carries the tone, so that its distortion means nothing. */
export function distortionCurves(results: Results, tapId: string, toneHz: number): DistortionCurve[] {
  return measurementsOf(results, tapId).flatMap(({ setting, ladders }) => {
    const ladder = ladders.find((one) => one.toneHz === toneHz);
    if (ladder === undefined) return [];
    const { highestHarmonic, steps } = ladder;
    const carried = steps.some(({ thdBeforeFilters }) => thdBeforeFilters !== null);
    return carried ? [{ setting, highestHarmonic, steps }] : [];
  });
}

/** What is nearer to its noise than three times counts as noise (10 dB, common practice). */
const ABOVE_NOISE = 3;

/**
 * Distortion in percent where it stands above its noise; the points beside such a one lie on the foot of the picture, so
 * that the curve is seen to rise; gaps elsewhere.
 */
export function visiblePercent(steps: readonly Step[], footPercent: number): (number | null)[] {
  const seen = steps.map(({ thd, thdNoise }) => thd > ABOVE_NOISE * thdNoise && thd * 100 > footPercent);
  return steps.map(({ thd }, i) => {
    if (seen[i]) return thd * 100;
    return seen[i - 1] || seen[i + 1] ? footPercent : null;
  });
}
