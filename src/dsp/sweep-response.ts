import { realSpectrum, transformSizeFor } from './fft.ts';
import { type NoiseBands, noiseBands, noiseBeside } from './noise-beside.ts';
import { arrivalsByOctave } from './octave-arrivals.ts';
import { centred, fadeEnds, workFor } from './section-work.ts';
import { BLOCK_BINS, type SmoothingKernel, smoothingKernel } from './smoothing-kernel.ts';
import { type Sweep, sweepValue } from './sweep.ts';

/** What is recorded around a sweep: room before for early arrivals, after for the top octave's ringing. */
export const SECTION_LEAD_SECONDS = 0.2;
export const SECTION_TAIL_SECONDS = 0.25;

export interface SweepPlan {
  readonly sweep: Sweep;
  readonly sampleRateHz: number;
  readonly transformSize: number;
  readonly sectionLength: number;
  /** Spectrum of the sweep as driven, starting SECTION_LEAD_SECONDS into the section. */
  readonly stimulus: Float64Array;
  readonly stimulusPower: Float64Array;
  readonly inversePower: Float64Array;
  readonly frequencyHz: Float64Array;
  readonly kernels: readonly SmoothingKernel[];
  /** Sum of kernel times stimulus power at each frequency, and the variance of the quotient for unit noise in a bin. */
  readonly weightSums: Float64Array;
  readonly varianceFactors: Float64Array;
  readonly noiseBands: NoiseBands;
}

/** Response, on the plan's frequencies, with time zero where the sweep was expected to start. */
export interface SweepResponse {
  readonly real: Float64Array;
  readonly imag: Float64Array;
  readonly sigma: Float64Array;
}

/** Everything about a sweep that does not depend on the recording; make it once and use it for every channel. */
export function planSweep(of: {
  sweep: Sweep;
  driveAmplitude: number;
  sampleRateHz: number;
  frequencyHz: Float64Array;
}): SweepPlan {
  const { sweep, sampleRateHz, frequencyHz } = of;
  const seconds = SECTION_LEAD_SECONDS + sweep.durationSeconds + SECTION_TAIL_SECONDS;
  const sectionLength = Math.round(seconds * sampleRateHz);
  const transformSize = transformSizeFor(sectionLength);
  const samples = Float64Array.from(
    { length: sectionLength },
    (_, n) => of.driveAmplitude * sweepValue(sweep, n / sampleRateHz - SECTION_LEAD_SECONDS),
  );
  const stimulus = realSpectrum(samples, transformSize);
  const stimulusPower = Float64Array.from(
    { length: transformSize / 2 + 1 },
    (_, k) => stimulus[2 * k] ** 2 + stimulus[2 * k + 1] ** 2,
  );
  const binHz = sampleRateHz / transformSize;
  const lastBin = Math.min(transformSize / 2 - 1, Math.floor(sweep.endHz / binHz));
  const kernels = Array.from(frequencyHz, (hz) => smoothingKernel({ frequencyHz: hz, binHz, lastBin }));
  const weightSums = new Float64Array(frequencyHz.length);
  const varianceFactors = new Float64Array(frequencyHz.length);
  // Bins of a padded section are not independent: each independent value is spread over this many.
  const binsPerValue = transformSize / sectionLength;
  kernels.forEach(({ first, binsPerWeight, weights }, i) => {
    let sum = 0;
    let squares = 0;
    weights.forEach((weight, j) => {
      const from = (first + j) * binsPerWeight;
      for (let k = from; k < from + binsPerWeight; k++) {
        sum += weight * stimulusPower[k];
        squares += weight * weight * stimulusPower[k];
      }
    });
    weightSums[i] = sum;
    varianceFactors[i] = (squares * binsPerValue) / (sum * sum);
  });
  return {
    sweep,
    sampleRateHz,
    transformSize,
    sectionLength,
    stimulus,
    stimulusPower,
    inversePower: stimulusPower.map((power) => 1 / power),
    frequencyHz,
    kernels,
    weightSums,
    varianceFactors,
    noiseBands: noiseBands({ ...of, sectionLength, transformSize, leadSeconds: SECTION_LEAD_SECONDS }),
  };
}

/**
 * Complex response from a recorded sweep, by least squares over the bins around each frequency (kernel-weighted
 * Y X* over X X*), with the window in time centred on the arrival in each octave.
 *
 * @param section `plan.sectionLength` samples, the sweep's start expected SECTION_LEAD_SECONDS into them
 */
export function sweepResponse(plan: SweepPlan, section: ArrayLike<number>): SweepResponse {
  const { transformSize, sampleRateHz, stimulus, frequencyHz, kernels, weightSums } = plan;
  const work = workFor(plan);
  fadeEnds(centred(section, work.section), sampleRateHz);
  const cross = realSpectrum(work.section, transformSize, work.cross);
  for (let k = 0; k <= transformSize; k += 2) {
    const real = cross[k] * stimulus[k] + cross[k + 1] * stimulus[k + 1];
    cross[k + 1] = cross[k + 1] * stimulus[k] - cross[k] * stimulus[k + 1];
    cross[k] = real;
  }
  const binHz = sampleRateHz / transformSize;
  const arrivals = arrivalsByOctave(cross, { binHz, frequencyHz });
  const count = frequencyHz.length;
  const real = new Float64Array(count);
  const imag = new Float64Array(count);
  for (let i = 0, turnedFor = Number.NaN; i < count; i++) {
    const arrival = arrivals[i];
    if (arrival !== turnedFor) {
      const bins = binsAt(plan, arrivals, i);
      turnBack(cross, work.turned, { ...bins, binHz, arrival });
      sumBlocks(work.turned, work.blocks, bins);
    }
    turnedFor = arrival;
    const sum = weightedSum(kernels[i].binsPerWeight === 1 ? work.turned : work.blocks, kernels[i]);
    // The time of arrival was taken out of the bins as a turn from 0 Hz; at the frequency asked for it belongs in.
    const angle = 2 * Math.PI * arrival * frequencyHz[i];
    const cos = Math.cos(angle) / weightSums[i];
    const sin = Math.sin(angle) / weightSums[i];
    real[i] = sum.real * cos + sum.imag * sin;
    imag[i] = sum.imag * cos - sum.real * sin;
  }
  return { real, imag, sigma: noiseBeside(plan, { cross, running: work.turned }) };
}

/** The bins under the kernels of all frequencies from `i` on that share its arrival, in whole blocks. */
function binsAt({ kernels }: SweepPlan, arrivals: Float64Array, i: number): { from: number; to: number } {
  let to = 0;
  for (let j = i; j < arrivals.length && arrivals[j] === arrivals[i]; j++)
    to = Math.max(to, (kernels[j].first + kernels[j].weights.length) * kernels[j].binsPerWeight);
  const from = kernels[i].first * kernels[i].binsPerWeight;
  return { from: from - (from % BLOCK_BINS), to: Math.ceil(to / BLOCK_BINS) * BLOCK_BINS };
}

/** Turns each bin by 2 pi f times the arrival, as if the response had arrived at time zero. */
function turnBack(
  cross: Float64Array,
  target: Float64Array,
  { from, to, binHz, arrival }: { from: number; to: number; binHz: number; arrival: number },
): void {
  const step = 2 * Math.PI * binHz * arrival;
  const stepCos = Math.cos(step);
  const stepSin = Math.sin(step);
  let cos = Math.cos(step * from);
  let sin = Math.sin(step * from);
  for (let k = 2 * from; k < 2 * to; k += 2) {
    target[k] = cross[k] * cos - cross[k + 1] * sin;
    target[k + 1] = cross[k] * sin + cross[k + 1] * cos;
    const nextCos = cos * stepCos - sin * stepSin;
    sin = sin * stepCos + cos * stepSin;
    cos = nextCos;
  }
}

/** Sums of BLOCK_BINS bins each, for the kernels that are wide. */
function sumBlocks(
  bins: Float64Array,
  blocks: Float64Array,
  { from, to }: { from: number; to: number },
): void {
  for (let b = (2 * from) / BLOCK_BINS, k = 2 * from; k < 2 * to; b += 2, k += 2 * BLOCK_BINS) {
    let real = 0;
    let imag = 0;
    for (let j = k; j < k + 2 * BLOCK_BINS; j += 2) {
      real += bins[j];
      imag += bins[j + 1];
    }
    blocks[b] = real;
    blocks[b + 1] = imag;
  }
}

function weightedSum(
  bins: Float64Array,
  { first, weights }: SmoothingKernel,
): { real: number; imag: number } {
  let real = 0;
  let imag = 0;
  for (let j = 0, k = 2 * first; j < weights.length; j++, k += 2) {
    real += weights[j] * bins[k];
    imag += weights[j] * bins[k + 1];
  }
  return { real, imag };
}
