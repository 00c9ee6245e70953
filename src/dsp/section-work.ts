import type { SweepPlan } from './sweep-response.ts';

/** Fade at the section's cut ends, so that hum does not splash. */
const SECTION_FADE_SECONDS = 0.02;

interface Work {
  readonly section: Float64Array;
  readonly cross: Float64Array;
  /** Of the cross spectrum turned back, or sums of blocks of it, and afterwards of sums along it. */
  readonly turned: Float64Array;
}

let largest: Work = {
  section: new Float64Array(0),
  cross: new Float64Array(0),
  turned: new Float64Array(0),
};

/** Working memory, the same for all plans: some megabytes are not claimed anew for every channel. */
export function workFor({ sectionLength, transformSize }: SweepPlan): Work {
  const bins = transformSize + 2;
  if (largest.cross.length < bins)
    largest = {
      section: new Float64Array(transformSize),
      cross: new Float64Array(bins),
      turned: new Float64Array(bins),
    };
  return {
    section: largest.section.subarray(0, sectionLength),
    cross: largest.cross.subarray(0, bins),
    turned: largest.turned.subarray(0, bins),
  };
}

/** The section without the recorder's offset, which would splash where it is cut. */
export function centred(section: ArrayLike<number>, target: Float64Array): Float64Array {
  const count = target.length;
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
