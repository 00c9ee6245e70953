import { realSpectrum, spectrumInput, transformSizeFor } from './fft.ts';
import { doubles, integers, reused } from './kernels/kernel-arrays.ts';
import { kernels } from './kernels/kernels.ts';
import { noiseBands, noiseBeside } from './noise-beside.ts';
import { arrivalsByOctave, octavesOf } from './octave-arrivals.ts';
import { centred, fadeEnds, workFor } from './section-work.ts';
import { BLOCK_BINS, type SmoothingKernel, smoothingKernel } from './smoothing-kernel.ts';
import { type Sweep, sweepValues } from './sweep.ts';
import type { SweepPlan } from './sweep-plan.ts';

/** What is recorded around a sweep: room before for early arrivals, after for the top octave's ringing. */
export const SECTION_LEAD_SECONDS = 0.2;
const SECTION_TAIL_SECONDS = 0.25;

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
  const samples = spectrumInput(transformSize).subarray(0, sectionLength);
  const valueAt = sweepValues(sweep);
  for (let n = 0; n < sectionLength; n++)
    samples[n] = of.driveAmplitude * valueAt(n / sampleRateHz - SECTION_LEAD_SECONDS);
  const stimulus = realSpectrum(samples, transformSize, doubles(transformSize + 2));
  const stimulusPower = powerOf(stimulus);
  const binHz = sampleRateHz / transformSize;
  const lastBin = Math.min(transformSize / 2 - 1, Math.floor(sweep.endHz / binHz));
  const smoothing = Array.from(frequencyHz, (hz) => smoothingKernel({ frequencyHz: hz, binHz, lastBin }));
  return {
    sweep,
    sampleRateHz,
    transformSize,
    sectionLength,
    stimulus,
    stimulusPower,
    inversePower: inverseOf(stimulusPower),
    frequencyHz,
    octaves: octavesOf({ frequencyHz, binHz, lastBin: transformSize / 2 }),
    smoothing,
    weights: inOneArray(smoothing),
    // Bins of a padded section are not independent: each independent value is spread over this many.
    ...weightedPower(smoothing, { stimulusPower, binsPerValue: transformSize / sectionLength }),
    noiseBands: noiseBands({ ...of, sectionLength, transformSize, leadSeconds: SECTION_LEAD_SECONDS }),
  };
}

function powerOf(spectrum: Float64Array): Float64Array {
  const power = doubles(spectrum.length / 2);
  for (let k = 0; k < power.length; k++) power[k] = spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2;
  return power;
}

function inverseOf(values: Float64Array): Float64Array {
  const inverse = doubles(values.length);
  for (let k = 0; k < inverse.length; k++) inverse[k] = 1 / values[k];
  return inverse;
}

function weightedPower(
  smoothing: readonly SmoothingKernel[],
  { stimulusPower, binsPerValue }: { stimulusPower: Float64Array; binsPerValue: number },
): Pick<SweepPlan, 'weightSums' | 'varianceFactors'> {
  const weightSums = new Float64Array(smoothing.length);
  const varianceFactors = new Float64Array(smoothing.length);
  smoothing.forEach(({ first, binsPerWeight, weights }, i) => {
    let sum = 0;
    let squares = 0;
    for (let j = 0, k = first * binsPerWeight; j < weights.length; j++)
      for (const end = k + binsPerWeight; k < end; k++) {
        sum += weights[j] * stimulusPower[k];
        squares += weights[j] * weights[j] * stimulusPower[k];
      }
    weightSums[i] = sum;
    varianceFactors[i] = (squares * binsPerValue) / (sum * sum);
  });
  return { weightSums, varianceFactors };
}

/**
 * Complex response from a recorded sweep, by least squares over the bins around each frequency (kernel-weighted
 * Y X* over X X*), with the window in time centred on the arrival in each octave.
 *
 * @param section `plan.sectionLength` samples, the sweep's start expected SECTION_LEAD_SECONDS into them
 */
export function sweepResponse(plan: SweepPlan, section: ArrayLike<number>): SweepResponse {
  const { transformSize, sampleRateHz, frequencyHz, smoothing } = plan;
  const work = workFor(plan);
  fadeEnds(centred(section, work.section), sampleRateHz);
  const cross = realSpectrum(work.section, transformSize, work.cross);
  kernels.multiplyByConjugate(cross, plan.stimulus, transformSize / 2 + 1);
  const arrivals = arrivalsByOctave(cross, plan.octaves);
  const real = new Float64Array(frequencyHz.length);
  const imag = new Float64Array(frequencyHz.length);
  for (let from = 0, to = 1; from < real.length; from = to++) {
    const { binsPerWeight } = smoothing[from];
    const arrival = arrivals[from];
    while (arrivals[to] === arrival && smoothing[to].binsPerWeight === binsPerWeight) to++;
    const turn = {
      binsPerWeight,
      radiansPerBin: (2 * Math.PI * sampleRateHz * arrival) / transformSize,
      ...weightsOf(plan, from, to),
    };
    turnBack(cross, work.turned, turn);
    smooth(work.turned, { plan, from, to, arrival, real, imag });
  }
  return { real, imag, sigma: noiseBeside(plan, { cross, running: work.turned }) };
}

/** First weight, and the one behind the last, of the kernels of some neighbouring frequencies. */
function weightsOf({ smoothing }: SweepPlan, from: number, to: number): { first: number; end: number } {
  let end = 0;
  for (let i = from; i < to; i++) end = Math.max(end, smoothing[i].first + smoothing[i].weights.length);
  return { first: smoothing[from].first, end };
}

const blockTurns = reused(doubles);
const stepTurns = reused(doubles);

/** Turns each bin, or the sum of each block of BLOCK_BINS, by 2 pi f times the arrival, as if the response had arrived at time zero. */
function turnBack(
  cross: Float64Array,
  target: Float64Array,
  of: { binsPerWeight: number; first: number; end: number; radiansPerBin: number },
): void {
  const { binsPerWeight, first, end, radiansPerBin } = of;
  if (binsPerWeight === 1) {
    const steps = turnsBy(stepTurns(6), radiansPerBin, [first, first + 1, 2]);
    kernels.turnBack(cross, target, steps, first, end);
  } else {
    const within = turnsBy(blockTurns(2 * BLOCK_BINS), radiansPerBin, [...Array(BLOCK_BINS).keys()]);
    const steps = turnsBy(stepTurns(4), radiansPerBin * BLOCK_BINS, [first, 1]);
    kernels.turnBackInBlocks(cross, target, within, steps, first, end);
  }
}

/** Cosine and sine of each of some multiples of an angle. */
function turnsBy(target: Float64Array, radians: number, multiples: readonly number[]): Float64Array {
  multiples.forEach((multiple, j) => {
    target[2 * j] = Math.cos(radians * multiple);
    target[2 * j + 1] = Math.sin(radians * multiple);
  });
  return target;
}

const sumsWork = reused(doubles);

/** Weighted means of bins that were turned back, for the frequencies from `from` to before `to`. */
function smooth(
  turned: Float64Array,
  of: { plan: SweepPlan; from: number; to: number; arrival: number; real: Float64Array; imag: Float64Array },
): void {
  const { frequencyHz, weights, weightSums } = of.plan;
  const sums = sumsWork(2 * frequencyHz.length);
  kernels.weightedSums(turned, weights.all, weights.starts, weights.firsts, sums, of.from, of.to);
  for (let i = of.from; i < of.to; i++) {
    // The time of arrival was taken out of the bins as a turn from 0 Hz; at the frequency asked for it belongs in.
    const angle = 2 * Math.PI * of.arrival * frequencyHz[i];
    const cos = Math.cos(angle) / weightSums[i];
    const sin = Math.sin(angle) / weightSums[i];
    of.real[i] = sums[2 * i] * cos + sums[2 * i + 1] * sin;
    of.imag[i] = sums[2 * i + 1] * cos - sums[2 * i] * sin;
  }
}

/** The weights of all kernels, one behind the other. */
function inOneArray(smoothing: readonly SmoothingKernel[]): SweepPlan['weights'] {
  const starts = integers(smoothing.length + 1);
  const firsts = integers(smoothing.length);
  smoothing.forEach(({ first, weights }, i) => {
    starts[i + 1] = starts[i] + weights.length;
    firsts[i] = first;
  });
  const all = doubles(starts[smoothing.length]);
  smoothing.forEach(({ weights }, i) => {
    all.set(weights, starts[i]);
  });
  return { all, starts, firsts };
}
