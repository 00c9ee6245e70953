import { measuredTogether } from '../chain/tap-level.ts';
import type { Feed } from '../feeds/feed.ts';
import { indexRange } from '../feeds/flatness.ts';
import { predictSum, type Spectrum } from '../feeds/predict-sum.ts';
import type { PlanContext } from '../plan-context.ts';

/** Beyond this the two feeds work against each other (cos p is negative from a quarter turn on). */
const AGAINST_DEGREES = 120;
const WITH_DEGREES = 60;

/**
 * How the subwoofer feed stands to the mains' at the radio's outputs, around the hand-over: before the amplifiers'
 * filters and the way through the cabin add theirs. Null where the two were not recorded together.
 */
export function subwooferPolarity(
  context: PlanContext,
  { sub, mains, handOverHz }: { readonly sub: Feed; readonly mains: Feed; readonly handOverHz: number },
): { phaseDegrees: number; startWith: 'as wired' | 'inverted' | 'either' } | null {
  const tapIds = [...mains.taps, ...sub.taps].map(({ tapId }) => tapId);
  const setting = context.judgedSettings.find((one) => measuredTogether(context, tapIds, one)?.timed);
  if (setting === undefined) return null;
  const { measurements } = measuredTogether(context, tapIds, setting)!;
  const sumOf = (feed: Feed, from: number) =>
    predictSum({
      programme: 'both',
      parts: feed.taps.map((tap, i) => ({ measurement: measurements[from + i], tap })),
    });
  const phaseDegrees = angleBetween(sumOf(mains, 0), sumOf(sub, mains.taps.length), handOverHz);
  const startWith =
    phaseDegrees > AGAINST_DEGREES ? 'inverted' : phaseDegrees < WITH_DEGREES ? 'as wired' : 'either';
  return { phaseDegrees, startWith };
}

/** Angle between two sounds over half an octave either side, weighted by their strength, 0 to 180 degrees. */
function angleBetween(one: Spectrum, other: Spectrum, centreHz: number): number {
  const { first, last } = indexRange([centreHz / Math.SQRT2, centreHz * Math.SQRT2]);
  let [real, imag] = [0, 0];
  for (let i = first; i <= last; i++) {
    real += one.real[i] * other.real[i] + one.imag[i] * other.imag[i];
    imag += one.imag[i] * other.real[i] - one.real[i] * other.imag[i];
  }
  return Math.abs((Math.atan2(imag, real) * 180) / Math.PI);
}
