import { doubles, reused } from './kernels/kernel-arrays.ts';
import { kernels } from './kernels/kernels.ts';

/**
 * Block by block with the same few hundred cosines, turned to where each block begins: cosines of all samples take ten times
 * as long.
 */
const BLOCK = 256;

/** Sums of samples times cosine and sine of a tone whose phase is 0 at the first of them. */
export function toneSums(samples: Float64Array, radiansPerSample: number): { real: number; imag: number } {
  const sums = sumsWork(2);
  const { wave, turns } = toneOf(radiansPerSample, samples.length);
  kernels.toneSums(samples, wave, turns, sums, samples.length, BLOCK);
  return { real: sums[0], imag: sums[1] };
}

/** Takes a tone out in place, by projection: over some seconds tones of different frequency are as good as orthogonal. */
export function takeOutTone(samples: Float64Array, radiansPerSample: number): void {
  const count = samples.length;
  const { real, imag } = toneSums(samples, radiansPerSample);
  const { wave, turns } = toneOf(radiansPerSample, count);
  kernels.takeOutTone(samples, wave, turns, (2 * real) / count, (2 * imag) / count, count, BLOCK);
}

const sumsWork = reused(doubles);
const waveWork = reused(doubles);
const turnsWork = reused(doubles);

function toneOf(radiansPerSample: number, count: number): { wave: Float64Array; turns: Float64Array } {
  return {
    wave: multiplesOf(radiansPerSample, waveWork(2 * BLOCK)),
    turns: multiplesOf(radiansPerSample * BLOCK, turnsWork(2 * Math.ceil(count / BLOCK))),
  };
}

/** Cosine and sine of every multiple of an angle. */
function multiplesOf(radians: number, target: Float64Array): Float64Array {
  for (let j = 0; j < target.length / 2; j++) {
    target[2 * j] = Math.cos(radians * j);
    target[2 * j + 1] = Math.sin(radians * j);
  }
  return target;
}
