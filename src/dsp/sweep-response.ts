import { realSpectrum, transformSizeFor } from './fft.ts';
import { type NoiseBands, noiseBands, noiseBeside } from './noise-beside.ts';
import { arrivalsByOctave, type Octaves, octavesOf } from './octave-arrivals.ts';
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
  readonly octaves: Octaves;
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
  const samples = new Float64Array(sectionLength);
  for (let n = 0; n < sectionLength; n++)
    samples[n] = of.driveAmplitude * sweepValue(sweep, n / sampleRateHz - SECTION_LEAD_SECONDS);
  const stimulus = realSpectrum(samples, transformSize);
  const stimulusPower = powerOf(stimulus);
  const binHz = sampleRateHz / transformSize;
  const lastBin = Math.min(transformSize / 2 - 1, Math.floor(sweep.endHz / binHz));
  const kernels = Array.from(frequencyHz, (hz) => smoothingKernel({ frequencyHz: hz, binHz, lastBin }));
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
    kernels,
    // Bins of a padded section are not independent: each independent value is spread over this many.
    ...weightedPower(kernels, { stimulusPower, binsPerValue: transformSize / sectionLength }),
    noiseBands: noiseBands({ ...of, sectionLength, transformSize, leadSeconds: SECTION_LEAD_SECONDS }),
  };
}

function powerOf(spectrum: Float64Array): Float64Array {
  const power = new Float64Array(spectrum.length / 2);
  for (let k = 0; k < power.length; k++) power[k] = spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2;
  return power;
}

function inverseOf(values: Float64Array): Float64Array {
  const inverse = new Float64Array(values.length);
  for (let k = 0; k < inverse.length; k++) inverse[k] = 1 / values[k];
  return inverse;
}

function weightedPower(
  kernels: readonly SmoothingKernel[],
  { stimulusPower, binsPerValue }: { stimulusPower: Float64Array; binsPerValue: number },
): Pick<SweepPlan, 'weightSums' | 'varianceFactors'> {
  const weightSums = new Float64Array(kernels.length);
  const varianceFactors = new Float64Array(kernels.length);
  kernels.forEach(({ first, binsPerWeight, weights }, i) => {
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
  const { transformSize, sampleRateHz, frequencyHz, kernels } = plan;
  const work = workFor(plan);
  fadeEnds(centred(section, work.section), sampleRateHz);
  const cross = realSpectrum(work.section, transformSize, work.cross);
  multiplyByConjugate(cross, plan.stimulus);
  const arrivals = arrivalsByOctave(cross, plan.octaves);
  const real = new Float64Array(frequencyHz.length);
  const imag = new Float64Array(frequencyHz.length);
  for (let from = 0, to = 1; from < real.length; from = to++) {
    const { binsPerWeight } = kernels[from];
    const arrival = arrivals[from];
    while (arrivals[to] === arrival && kernels[to].binsPerWeight === binsPerWeight) to++;
    const turn = {
      radiansPerBin: (2 * Math.PI * sampleRateHz * arrival) / transformSize,
      ...weightsOf(plan, from, to),
    };
    if (binsPerWeight === 1) turnBack(cross, work.turned, turn);
    else turnBackInBlocks(cross, work.turned, turn);
    smooth(work.turned, { plan, from, to, arrival, real, imag });
  }
  return { real, imag, sigma: noiseBeside(plan, { cross, running: work.turned }) };
}

function multiplyByConjugate(bins: Float64Array, by: Float64Array): void {
  for (let k = 0; k < bins.length; k += 2) {
    const real = bins[k] * by[k] + bins[k + 1] * by[k + 1];
    bins[k + 1] = bins[k + 1] * by[k] - bins[k] * by[k + 1];
    bins[k] = real;
  }
}

/** First weight, and the one behind the last, of the kernels of some neighbouring frequencies. */
function weightsOf({ kernels }: SweepPlan, from: number, to: number): { first: number; end: number } {
  let end = 0;
  for (let i = from; i < to; i++) end = Math.max(end, kernels[i].first + kernels[i].weights.length);
  return { first: kernels[from].first, end };
}

/** Turns each bin by 2 pi f times the arrival, as if the response had arrived at time zero. */
function turnBack(
  cross: Float64Array,
  target: Float64Array,
  { first, end, radiansPerBin }: { first: number; end: number; radiansPerBin: number },
): void {
  const stepCos = Math.cos(radiansPerBin);
  const stepSin = Math.sin(radiansPerBin);
  let cos = Math.cos(radiansPerBin * first);
  let sin = Math.sin(radiansPerBin * first);
  for (let k = 2 * first; k < 2 * end; k += 2) {
    target[k] = cross[k] * cos - cross[k + 1] * sin;
    target[k + 1] = cross[k] * sin + cross[k + 1] * cos;
    const nextCos = cos * stepCos - sin * stepSin;
    sin = sin * stepCos + cos * stepSin;
    cos = nextCos;
  }
}

const blockCos = new Float64Array(BLOCK_BINS);
const blockSin = new Float64Array(BLOCK_BINS);

/** The same, and each block of BLOCK_BINS bins summed, for the kernels that are wide. */
function turnBackInBlocks(
  cross: Float64Array,
  blocks: Float64Array,
  { first, end, radiansPerBin }: { first: number; end: number; radiansPerBin: number },
): void {
  for (let j = 0; j < BLOCK_BINS; j++) {
    blockCos[j] = Math.cos(radiansPerBin * j);
    blockSin[j] = Math.sin(radiansPerBin * j);
  }
  const stepCos = Math.cos(radiansPerBin * BLOCK_BINS);
  const stepSin = Math.sin(radiansPerBin * BLOCK_BINS);
  let cos = Math.cos(radiansPerBin * BLOCK_BINS * first);
  let sin = Math.sin(radiansPerBin * BLOCK_BINS * first);
  for (let b = first; b < end; b++) {
    let real = 0;
    let imag = 0;
    for (let j = 0, k = 2 * BLOCK_BINS * b; j < BLOCK_BINS; j++, k += 2) {
      real += cross[k] * blockCos[j] - cross[k + 1] * blockSin[j];
      imag += cross[k] * blockSin[j] + cross[k + 1] * blockCos[j];
    }
    blocks[2 * b] = real * cos - imag * sin;
    blocks[2 * b + 1] = real * sin + imag * cos;
    const nextCos = cos * stepCos - sin * stepSin;
    sin = sin * stepCos + cos * stepSin;
    cos = nextCos;
  }
}

/** Weighted means of bins that were turned back, for the frequencies from `from` to before `to`. */
function smooth(
  turned: Float64Array,
  of: { plan: SweepPlan; from: number; to: number; arrival: number; real: Float64Array; imag: Float64Array },
): void {
  const { frequencyHz, kernels, weightSums } = of.plan;
  for (let i = of.from; i < of.to; i++) {
    const { first, weights } = kernels[i];
    let real = 0;
    let imag = 0;
    for (let j = 0, k = 2 * first; j < weights.length; j++, k += 2) {
      real += weights[j] * turned[k];
      imag += weights[j] * turned[k + 1];
    }
    // The time of arrival was taken out of the bins as a turn from 0 Hz; at the frequency asked for it belongs in.
    const angle = 2 * Math.PI * of.arrival * frequencyHz[i];
    const cos = Math.cos(angle) / weightSums[i];
    const sin = Math.sin(angle) / weightSums[i];
    of.real[i] = real * cos + imag * sin;
    of.imag[i] = imag * cos - real * sin;
  }
}
