import { ratioOf } from '../dsp/decibels.ts';
import type { Scenario } from './scenario.ts';

type AutomaticGain = NonNullable<Scenario['recorder']['automaticGain']>;

/** The gain is worked out for ten milliseconds at a time, and moves in straight lines between. */
const STEP_SECONDS = 0.01;

/**
 * Raises what is quiet and lowers what is loud, in place, so that peaks come near the target; in silence the gain creeps
 * up to its most.
 */
export function applyAutomaticGain(
  samples: Float64Array,
  { targetDbFs, mostGainDb, attackSeconds, releaseSeconds }: AutomaticGain,
  sampleRateHz: number,
): void {
  const target = ratioOf(targetDbFs);
  const mostGain = ratioOf(mostGainDb);
  const stepLength = Math.round(STEP_SECONDS * sampleRateHz);
  let gain = mostGain;
  for (let start = 0; start < samples.length; start += stepLength) {
    const end = Math.min(samples.length, start + stepLength);
    let peak = 0;
    for (let n = start; n < end; n++) peak = Math.max(peak, Math.abs(samples[n]));
    const wanted = Math.min(mostGain, target / Math.max(peak, Number.MIN_VALUE));
    const pace = 1 - Math.exp(-STEP_SECONDS / (wanted < gain ? attackSeconds : releaseSeconds));
    const next = gain + (wanted - gain) * pace;
    for (let n = start; n < end; n++) samples[n] *= gain + ((next - gain) * (n - start)) / stepLength;
    gain = next;
  }
}

/** A bench that rings: a decaying sine. */
const KNOCK_HZ = 140;
const KNOCK_DECAY_SECONDS = 0.03;

export function addKnock(
  samples: Float64Array,
  { atSeconds, peakDbFs }: { atSeconds: number; peakDbFs: number },
  sampleRateHz: number,
): void {
  const start = Math.round(atSeconds * sampleRateHz);
  const end = Math.min(samples.length, start + Math.round(10 * KNOCK_DECAY_SECONDS * sampleRateHz));
  for (let n = start; n < end; n++) {
    const seconds = (n - start) / sampleRateHz;
    const decay = Math.exp(-seconds / KNOCK_DECAY_SECONDS);
    samples[n] += ratioOf(peakDbFs) * decay * Math.sin(2 * Math.PI * KNOCK_HZ * seconds);
  }
}
