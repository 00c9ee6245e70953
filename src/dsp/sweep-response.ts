import { realSpectrum, transformSizeFor } from './fft.ts';
import { arrivalsByOctave } from './octave-arrivals.ts';
import { centred, fadeEnds, workFor } from './section-work.ts';
import { type SmoothingKernel, smoothingKernel, windowSigmaSeconds } from './smoothing-kernel.ts';
import { type Sweep, sweepRateSeconds, sweepTimeOf, sweepValue } from './sweep.ts';

/** What is recorded around a sweep: room before for early arrivals, after for the top octave's ringing. */
export const SECTION_LEAD_SECONDS = 0.2;
export const SECTION_TAIL_SECONDS = 0.25;
/** Bins over which the noise beside the response is averaged, at least. */
/** A phase is followed from point to point where it stands this many standard deviations clear. */
const CLEAR_OF_NOISE = 10;
const NOISE_HALF_WIDTH_BINS = 24;

export interface SweepPlan {
  readonly sweep: Sweep;
  readonly sampleRateHz: number;
  readonly transformSize: number;
  readonly sectionLength: number;
  /** Spectrum of the sweep as driven, starting SECTION_LEAD_SECONDS into the section. */
  readonly stimulus: Float64Array;
  readonly stimulusPower: Float64Array;
  readonly frequencyHz: Float64Array;
  readonly kernels: readonly SmoothingKernel[];
  /** Sum of kernel times stimulus power at each frequency, and the variance of the quotient for unit noise in a bin. */
  readonly weightSums: Float64Array;
  readonly varianceFactors: Float64Array;
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
  kernels.forEach(({ firstBin, weights }, i) => {
    let sum = 0;
    let squares = 0;
    weights.forEach((weight, j) => {
      const power = stimulusPower[firstBin + j];
      sum += weight * power;
      squares += weight * weight * power;
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
    frequencyHz,
    kernels,
    weightSums,
    varianceFactors,
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
    if (arrival !== turnedFor) turnBack(cross, work.turned, { ...binsAt(plan, arrivals, i), binHz, arrival });
    turnedFor = arrival;
    const sum = weightedSum(work.turned, kernels[i]);
    // The time of arrival was taken out of the bins as a turn from 0 Hz; at the frequency asked for it belongs in.
    const angle = 2 * Math.PI * arrival * frequencyHz[i];
    const cos = Math.cos(angle) / weightSums[i];
    const sin = Math.sin(angle) / weightSums[i];
    real[i] = sum.real * cos + sum.imag * sin;
    imag[i] = sum.imag * cos - sum.real * sin;
  }
  return { real, imag, sigma: noiseBeside(plan, { cross, running: work.turned }) };
}

/**
 * Takes the difference of the two clocks out of a response. A recorder that runs fast by `ppm` hears the sweep
 * stretched, which shifts each frequency's arrival by ppm times the time since the track's start; the phase follows from
 * the closed form of the sweep's spectrum, 2 pi f L (1 - ln(f / f1)) (Novak et al., JAES 63(10), 2015). Frequencies are
 * the player's afterwards.
 */
export function correctClock(
  response: SweepResponse,
  clock: { frequencyHz: Float64Array; sweep: Sweep; sectionStartSeconds: number; ppm: number },
): SweepResponse {
  const epsilon = clock.ppm * 1e-6;
  const rate = sweepRateSeconds(clock.sweep);
  const gain = 1 / Math.sqrt(1 + epsilon); // the stretched sweep puts more energy in each hertz
  const real = new Float64Array(response.real.length);
  const imag = new Float64Array(response.real.length);
  for (let i = 0; i < real.length; i++) {
    const hz = clock.frequencyHz[i];
    const dispersion =
      epsilon * Math.log(hz / clock.sweep.startHz) - epsilon + (1 + epsilon) * Math.log1p(epsilon);
    const angle = 2 * Math.PI * hz * (rate * dispersion + epsilon * clock.sectionStartSeconds);
    const cos = gain * Math.cos(angle);
    const sin = gain * Math.sin(angle);
    real[i] = response.real[i] * cos - response.imag[i] * sin;
    imag[i] = response.real[i] * sin + response.imag[i] * cos;
  }
  const corrected = { real, imag, sigma: response.sigma };
  moveAlongFrequency(corrected, { frequencyHz: clock.frequencyHz, by: Math.log1p(epsilon) });
  return corrected;
}

/**
 * What the recorder calls f / (1 + e) is f to the player: moves a response up by `by` in ln f, in place, along the local
 * slope of its logarithm (a few ten-thousandths of the distance between points).
 */
function moveAlongFrequency(response: SweepResponse, of: { frequencyHz: Float64Array; by: number }): void {
  const { real, imag, sigma } = response;
  const { frequencyHz, by } = of;
  let [beforeReal, beforeImag] = [real[0], imag[0]];
  let radiansPerHz = 0;
  for (let i = 1; i < real.length - 1; i++) {
    const [hereReal, hereImag] = [real[i], imag[i]];
    const spacingHz = frequencyHz[i + 1] - frequencyHz[i - 1];
    const along = real[i + 1] * beforeReal + imag[i + 1] * beforeImag;
    const across = imag[i + 1] * beforeReal - real[i + 1] * beforeImag;
    // Late arrivals turn by more than half a turn between points at the top: unwrapped along the way up.
    const expected = radiansPerHz * spacingHz;
    const turns = Math.round((expected - Math.atan2(across, along)) / (2 * Math.PI));
    const turn = Math.atan2(across, along) + 2 * Math.PI * turns;
    if (Math.hypot(hereReal, hereImag) > CLEAR_OF_NOISE * sigma[i]) radiansPerHz = turn / spacingHz;
    const growth =
      0.5 * Math.log((real[i + 1] ** 2 + imag[i + 1] ** 2) / (beforeReal ** 2 + beforeImag ** 2));
    const part = by / Math.log(frequencyHz[i + 1] / frequencyHz[i - 1]);
    const gain = Math.exp(-part * growth);
    const [cos, sin] = [gain * Math.cos(part * turn), -gain * Math.sin(part * turn)];
    real[i] = hereReal * cos - hereImag * sin;
    imag[i] = hereReal * sin + hereImag * cos;
    [beforeReal, beforeImag] = [hereReal, hereImag];
  }
}

/** The bins under the kernels of all frequencies from `i` on that share its arrival. */
function binsAt({ kernels }: SweepPlan, arrivals: Float64Array, i: number): { from: number; to: number } {
  let to = 0;
  for (let j = i; j < arrivals.length && arrivals[j] === arrivals[i]; j++)
    to = Math.max(to, kernels[j].firstBin + kernels[j].weights.length);
  return { from: kernels[i].firstBin, to };
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

function weightedSum(
  bins: Float64Array,
  { firstBin, weights }: SmoothingKernel,
): { real: number; imag: number } {
  let real = 0;
  let imag = 0;
  for (let j = 0, k = 2 * firstBin; j < weights.length; j++, k += 2) {
    real += weights[j] * bins[k];
    imag += weights[j] * bins[k + 1];
  }
  return { real, imag };
}

/**
 * Standard deviation of each part of the response, from how neighbouring bins of Y/X jump: their second difference
 * ignores what arrives near time zero and keeps noise, which is spread over the whole section.
 */
function noiseBeside(
  plan: SweepPlan,
  { cross, running }: { cross: Float64Array; running: Float64Array },
): Float64Array {
  const { transformSize, stimulusPower, frequencyHz, sampleRateHz, varianceFactors } = plan;
  const binHz = sampleRateHz / transformSize;
  const lastBin = transformSize / 2 - 1;
  running[1] = 0;
  let beforeReal = cross[2] / stimulusPower[1];
  let beforeImag = cross[3] / stimulusPower[1];
  let hereReal = cross[4] / stimulusPower[2];
  let hereImag = cross[5] / stimulusPower[2];
  for (let k = 2; k < lastBin; k++) {
    const afterReal = cross[2 * k + 2] / stimulusPower[k + 1];
    const afterImag = cross[2 * k + 3] / stimulusPower[k + 1];
    const real = afterReal - 2 * hereReal + beforeReal;
    const imag = afterImag - 2 * hereImag + beforeImag;
    running[k] = running[k - 1] + (real * real + imag * imag) * stimulusPower[k];
    beforeReal = hereReal;
    beforeImag = hereImag;
    hereReal = afterReal;
    hereImag = afterImag;
  }
  return frequencyHz.map((hz, i) => {
    const sigmaBins = 1 / (2 * Math.PI * windowSigmaSeconds(hz) * binHz);
    const halfWidth = Math.max(NOISE_HALF_WIDTH_BINS, Math.round(1.5 * sigmaBins));
    const from = Math.max(1, Math.round(hz / binHz) - halfWidth);
    const to = Math.min(lastBin - 1, Math.round(hz / binHz) + halfWidth);
    const binPower = (running[to] - running[from]) / (to - from) / secondDifferenceGain(plan, hz);
    return Math.sqrt((binPower * varianceFactors[i]) / 2);
  });
}

/** Mean of |e^{ja} - 2 + e^{-ja}|^2 over the times at which noise of this frequency lies after the division. */
function secondDifferenceGain(plan: SweepPlan, frequencyHz: number): number {
  const circle = plan.transformSize / plan.sampleRateHz;
  const passes = sweepTimeOf(plan.sweep, frequencyHz);
  const from = (2 * Math.PI * (-passes - SECTION_LEAD_SECONDS)) / circle;
  const to = from + (2 * Math.PI * plan.sectionLength) / plan.transformSize;
  const integral = (angle: number) => 6 * angle - 8 * Math.sin(angle) + Math.sin(2 * angle);
  return (integral(to) - integral(from)) / (to - from);
}
