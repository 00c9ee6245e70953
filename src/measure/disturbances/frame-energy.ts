/** Half a cycle of 50 Hz hum, whose frames then hold equal energy. */
export const FRAME_SECONDS = 0.01;

/** Sum of the squares of each whole frame of FRAME_SECONDS. */
export function frameEnergy(residual: ArrayLike<number>, sampleRateHz: number): Float64Array {
  const frame = Math.round(FRAME_SECONDS * sampleRateHz);
  const energy = new Float64Array(Math.floor(residual.length / frame));
  for (let f = 0; f < energy.length; f++) energy[f] = energyIn(residual, f * frame, (f + 1) * frame);
  return energy;
}

/** Of the samples from `from` to before `to`. */
function energyIn(samples: ArrayLike<number>, from: number, to: number): number {
  let sum = 0;
  for (let n = from; n < to; n++) sum += samples[n] * samples[n];
  return sum;
}
