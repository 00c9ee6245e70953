import { doubles, reused } from '../../dsp/kernels/kernel-arrays.ts';
import { kernels } from '../../dsp/kernels/kernels.ts';

/** Half a cycle of 50 Hz hum, whose frames then hold equal energy. */
export const FRAME_SECONDS = 0.01;

/** Sum of the squares of each whole frame of FRAME_SECONDS. */
export function frameEnergy(samples: Float64Array | Float32Array, sampleRateHz: number): Float64Array {
  const length = Math.round(FRAME_SECONDS * sampleRateHz);
  const energy = energyWork(Math.floor(samples.length / length));
  if (samples instanceof Float32Array) kernels.frameEnergyOfFloats(samples, energy, length, energy.length);
  else kernels.frameEnergy(samples, energy, length, energy.length);
  return energy.slice();
}

const energyWork = reused(doubles);
