import { powerRatioOf } from '../../dsp/decibels.ts';
import { FRAME_SECONDS, frameEnergy } from './frame-energy.ts';

/** A short burst that is no part of the track: a knock on the bench, a plug that moved, a click of a switch. */
export interface Burst {
  /** Samples from the start of what was searched. */
  readonly from: number;
  readonly to: number;
}

/** What is usual is the median of this many frames either way: bursts up to a quarter of a second stand out of it. */
const REACH_FRAMES = 30;
/** Noise in frames of 10 ms stays within 3 dB of its median (chi-square); 12 dB is no chance in an hour. */
const BURST_ABOVE = powerRatioOf(12);
const OVER_BELOW = powerRatioOf(4);
/** Bursts nearer than this are one: a knock rings. */
const JOIN_SECONDS = 0.06;
const LONGEST_SECONDS = 0.3;

/**
 * Bursts that stand out of what is usual around them.
 *
 * @param residual samples without the track's own signal; exact zeros are not judged
 */
export function findKnocks(residual: Float64Array, sampleRateHz: number): Burst[] {
  const frame = Math.round(FRAME_SECONDS * sampleRateHz);
  const energy = frameEnergy(residual, sampleRateHz);
  const bursts: Burst[] = [];
  for (let f = 0; f < energy.length; f++) {
    if (!isAbove(energy, f, BURST_ABOVE)) continue;
    let [from, to] = [f, f + 1];
    while (from > 0 && isAbove(energy, from - 1, OVER_BELOW)) from--;
    while (to < energy.length && isAbove(energy, to, OVER_BELOW)) to++;
    f = to;
    const last = bursts.at(-1);
    if (last !== undefined && from * frame - last.to < JOIN_SECONDS * sampleRateHz)
      bursts[bursts.length - 1] = { from: last.from, to: to * frame };
    else bursts.push({ from: from * frame, to: to * frame });
  }
  return bursts.filter(({ from, to }) => to - from <= LONGEST_SECONDS * sampleRateHz);
}

/**
 * Whether a frame has more than `factor` times the median energy of those around it; frames of exact zeros do not count.
 * More than half of them have to lie that far below it: counting takes a tenth of the time of sorting.
 */
function isAbove(energy: Float64Array, at: number, factor: number): boolean {
  const limit = energy[at] / factor;
  if (!(limit > Number.MIN_VALUE)) return false;
  const last = Math.min(energy.length - 1, at + REACH_FRAMES);
  let counted = 0;
  let below = 0;
  for (let f = Math.max(0, at - REACH_FRAMES); f <= last; f++) {
    if (energy[f] > 0) counted++;
    if (energy[f] > 0 && energy[f] < limit) below++;
  }
  return below > counted >> 1;
}
