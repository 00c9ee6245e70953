import { spectrumInput } from './fft.ts';
import { doubles, reused } from './kernels/kernel-arrays.ts';
import { kernels } from './kernels/kernels.ts';
import type { SweepPlan } from './sweep-plan.ts';

/** Fade at the section's cut ends, so that hum does not splash. */
const SECTION_FADE_SECONDS = 0.02;

interface Work {
  /** Where transforms read from: overwritten by the next one. */
  readonly section: Float64Array;
  readonly cross: Float64Array;
  /** Of the cross spectrum turned back, or sums of blocks of it, and afterwards of sums along it. */
  readonly turned: Float64Array;
}

const crossWork = reused(doubles);
const turnedWork = reused(doubles);

/** Working memory, the same for all plans: some megabytes are not claimed anew for every channel. */
export function workFor({ sectionLength, transformSize }: SweepPlan): Work {
  const bins = transformSize + 2;
  return {
    section: spectrumInput(transformSize).subarray(0, sectionLength),
    cross: crossWork(bins),
    turned: turnedWork(bins),
  };
}

/** The section without the recorder's offset, which would splash where it is cut. */
export function centred(section: ArrayLike<number>, target: Float64Array): Float64Array {
  const count = target.length;
  if (section instanceof Float32Array) {
    kernels.centre(section, target, count);
    return target;
  }
  let [even, odd] = [0, 0];
  for (let n = 0; n < count - 1; n += 2) {
    even += section[n];
    odd += section[n + 1];
  }
  if (count % 2 === 1) odd += section[count - 1];
  const mean = (even + odd) / count;
  for (let n = 0; n < count; n++) target[n] = section[n] - mean;
  return target;
}

export function fadeEnds(samples: Float64Array, sampleRateHz: number): void {
  const length = Math.round(SECTION_FADE_SECONDS * sampleRateHz);
  for (let n = 0; n < length; n++) {
    const gain = 0.5 * (1 - Math.cos((Math.PI * (n + 0.5)) / length));
    samples[n] *= gain;
    samples[samples.length - 1 - n] *= gain;
  }
}
