/** A short burst that is no part of the track: a knock on the bench, a plug that moved, a click of a switch. */
export interface Burst {
  /** Samples from the start of what was searched. */
  readonly from: number;
  readonly to: number;
}

/** Half a cycle of 50 Hz hum, whose frames then hold equal energy. */
const FRAME_SECONDS = 0.01;
/** What is usual is the median of this many frames either way: bursts up to a quarter of a second stand out of it. */
const REACH_FRAMES = 30;
/** Noise in frames of 10 ms stays within 3 dB of its median (chi-square); 12 dB is no chance in an hour. */
const BURST_ABOVE_DB = 12;
const OVER_BELOW_DB = 4;
/** Bursts nearer than this are one: a knock rings. */
const JOIN_SECONDS = 0.06;
const LONGEST_SECONDS = 0.3;

/**
 * Bursts that stand out of what is usual around them.
 *
 * @param residual samples without the track's own signal; exact zeros are not judged
 */
export function findKnocks(residual: ArrayLike<number>, sampleRateHz: number): Burst[] {
  const frame = Math.round(FRAME_SECONDS * sampleRateHz);
  const energy = Float64Array.from({ length: Math.floor(residual.length / frame) }, (_, f) => {
    let sum = 0;
    for (let n = f * frame; n < (f + 1) * frame; n++) sum += residual[n] * residual[n];
    return sum;
  });
  const isAbove = (f: number, db: number) =>
    energy[f] > 10 ** (db / 10) * usual(energy, f) && energy[f] > Number.MIN_VALUE;
  const bursts: Burst[] = [];
  for (let f = 0; f < energy.length; f++) {
    if (!isAbove(f, BURST_ABOVE_DB)) continue;
    let [from, to] = [f, f + 1];
    while (from > 0 && isAbove(from - 1, OVER_BELOW_DB)) from--;
    while (to < energy.length && isAbove(to, OVER_BELOW_DB)) to++;
    f = to;
    const last = bursts.at(-1);
    if (last !== undefined && from * frame - last.to < JOIN_SECONDS * sampleRateHz)
      bursts[bursts.length - 1] = { from: last.from, to: to * frame };
    else bursts.push({ from: from * frame, to: to * frame });
  }
  return bursts.filter(({ from, to }) => to - from <= LONGEST_SECONDS * sampleRateHz);
}

/** Median energy of the frames around one; frames of exact zeros do not count. */
function usual(energy: Float64Array, at: number): number {
  const around = energy
    .slice(Math.max(0, at - REACH_FRAMES), at + REACH_FRAMES + 1)
    .filter((value) => value > 0)
    .sort();
  return around.length === 0 ? 0 : around[around.length >> 1];
}
