import { ratioOf } from '../dsp/decibels.ts';
import type { SimulatedTap } from './simulated-tap.ts';

type GainDrift = NonNullable<SimulatedTap['gainDrift']>;

/**
 * Moves the gain of an output while a take plays, in place: in straight lines of decibels from none to all of it, where it
 * stays.
 *
 * @param trackStart sample at which the track begins
 */
export function applyGainDrift(
  signal: Float64Array,
  { gainDb, fromSeconds, toSeconds }: GainDrift,
  { trackStart, sampleRateHz }: { trackStart: number; sampleRateHz: number },
): void {
  const from = trackStart + fromSeconds * sampleRateHz;
  const over = Math.max(1, (toSeconds - fromSeconds) * sampleRateHz);
  for (let n = Math.max(0, Math.ceil(from)); n < signal.length; n++)
    signal[n] *= ratioOf(gainDb * Math.min(1, (n - from) / over));
}
