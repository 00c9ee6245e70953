import { ratioOf } from '../../dsp/decibels.ts';
import type { FeedTap } from '../../model/recommendation.ts';
import type { PlanContext } from '../plan-context.ts';
import { noiseVolts } from './chain-taps.ts';
import { bothSidesJoined } from './tap-level.ts';

/**
 * The radio's own noise of a feed, as `feedLevel` counts it: independent outputs add in power, each with its trim, and a feed
 * of both sides halves them. Two outputs of 1 mV make 1.41 mV on one side and 0.71 mV as left and right of a subwoofer.
 *
 * Volts RMS as at one output; null where one of them is not known.
 */
export function radioNoiseVolts(
  context: PlanContext,
  taps: readonly FeedTap[],
  setting: number,
): number | null {
  const each = taps.map(({ tapId, trimDb }) => {
    const volts = noiseVolts(context, tapId, setting);
    return volts === null ? null : volts * ratioOf(trimDb);
  });
  const known = each.filter((volts) => volts !== null);
  if (known.length < taps.length || known.length === 0) return null;
  const tapIds = taps.map(({ tapId }) => tapId);
  return Math.hypot(...known) * (bothSidesJoined(context, tapIds) ? 0.5 : 1);
}
