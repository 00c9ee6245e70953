import { centred } from '../../dsp/section-work.ts';
import { announcementsInNoise } from '../disturbances/find-announcements.ts';
import { type Burst, findKnocks } from '../disturbances/find-knocks.ts';

/** Longest part of a section of noise that nothing struck, and where something did. */
export interface CalmStretch {
  readonly from: number;
  readonly to: number;
  /** Samples from the section's start. */
  readonly knocksAt: readonly number[];
  readonly announcements: readonly Burst[];
}

/** @param tonesHz steady tones of the track in it, by the recorder's clock; they are taken out for the search */
export function calmStretch(
  samples: Float32Array,
  of: { sampleRateHz: number; tonesHz: readonly number[] },
): CalmStretch {
  const residual = withoutSteadyTones(samples, of);
  const announcements = announcementsInNoise(residual, of.sampleRateHz);
  const knocks = findKnocks(residual, of.sampleRateHz).filter(
    ({ from, to }) => !announcements.some((one) => from < one.to && to > one.from),
  );
  const bursts = [...knocks, ...announcements].sort((one, other) => one.from - other.from);
  const edges = [0, ...bursts.flatMap(({ from, to }) => [from, to]), samples.length];
  let best = { from: 0, to: 0 };
  for (let e = 0; e < edges.length; e += 2)
    if (edges[e + 1] - edges[e] > best.to - best.from) best = { from: edges[e], to: edges[e + 1] };
  return { ...best, knocksAt: knocks.map(({ from }) => from), announcements };
}

/** By projection: over some seconds tones of different frequency are as good as orthogonal. */
function withoutSteadyTones(
  samples: Float32Array,
  { sampleRateHz, tonesHz }: { sampleRateHz: number; tonesHz: readonly number[] },
): Float64Array {
  const rest = workOf(samples.length);
  centred(samples, rest);
  for (const toneHz of tonesHz) takeOutTone(rest, (2 * Math.PI * toneHz) / sampleRateHz);
  return rest;
}

let work = new Float64Array(0);

/** The same memory for every channel. */
function workOf(length: number): Float64Array {
  if (work.length < length) work = new Float64Array(length);
  return work.subarray(0, length);
}

const BLOCK = 512;
const cosines = new Float64Array(BLOCK);
const sines = new Float64Array(BLOCK);

/** Block by block with the same few hundred cosines, turned to where each block begins: cosines of all samples take ten times as long. */
function takeOutTone(samples: Float64Array, radiansPerSample: number): void {
  for (let j = 0; j < BLOCK; j++) {
    cosines[j] = Math.cos(radiansPerSample * j);
    sines[j] = Math.sin(radiansPerSample * j);
  }
  let [real, imag] = [0, 0];
  for (let from = 0; from < samples.length; from += BLOCK) {
    const length = Math.min(BLOCK, samples.length - from);
    const { real: blockReal, imag: blockImag } = project(samples, from, length);
    const [cos, sin] = [Math.cos(radiansPerSample * from), Math.sin(radiansPerSample * from)];
    real += blockReal * cos - blockImag * sin;
    imag += blockReal * sin + blockImag * cos;
  }
  real *= 2 / samples.length;
  imag *= 2 / samples.length;
  for (let from = 0; from < samples.length; from += BLOCK) {
    const length = Math.min(BLOCK, samples.length - from);
    const [cos, sin] = [Math.cos(radiansPerSample * from), Math.sin(radiansPerSample * from)];
    const blockReal = real * cos + imag * sin;
    const blockImag = imag * cos - real * sin;
    subtract(samples, { from, length, real: blockReal, imag: blockImag });
  }
}

function project(samples: Float64Array, from: number, length: number): { real: number; imag: number } {
  let real = 0;
  let imag = 0;
  for (let j = 0; j < length; j++) {
    real += samples[from + j] * cosines[j];
    imag += samples[from + j] * sines[j];
  }
  return { real, imag };
}

function subtract(
  samples: Float64Array,
  { from, length, real, imag }: { from: number; length: number; real: number; imag: number },
): void {
  for (let j = 0; j < length; j++) samples[from + j] -= real * cosines[j] + imag * sines[j];
}
