import { realSpectrum, transformSizeFor } from './fft.ts';
import { type SmoothingKernel, smoothingKernel, windowSigmaSeconds } from './smoothing-kernel.ts';
import { type Sweep, sweepRateSeconds, sweepTimeOf, sweepValue } from './sweep.ts';

/** What is recorded around a sweep: room before for early arrivals, after for the top octave's ringing. */
export const SECTION_LEAD_SECONDS = 0.2;
export const SECTION_TAIL_SECONDS = 0.25;
/** Fade at the section's cut ends, so that hum does not splash. */
const SECTION_FADE_SECONDS = 0.02;
/** An octave whose bins agree this well on one arrival carries the sweep: as much sweep as noise in a bin. */
const COHERENT_OCTAVE = 0.5;
/** Arrivals are looked for within half of this, either way of where the sweep is expected. */
const ARRIVAL_RANGE_SECONDS = 0.2;
/** Bins compared lie at most this part of their octave apart: a response changes little over it. */
const ARRIVAL_LAG_OCTAVE_PART = 1 / 16;
/** Bins over which the noise beside the response is averaged, at least. */
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
  const cross = realSpectrum(fadedEnds(section, sampleRateHz), transformSize);
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
  for (let i = 0; i < count; i++) {
    const { firstBin, weights } = kernels[i];
    const arrival = arrivals[i];
    const step = 2 * Math.PI * binHz * arrival;
    const stepCos = Math.cos(step);
    const stepSin = Math.sin(step);
    // Phase is taken relative to the frequency asked for, so that the result needs no turning back.
    const start = 2 * Math.PI * arrival * (firstBin * binHz - frequencyHz[i]);
    let turnCos = Math.cos(start);
    let turnSin = Math.sin(start);
    let sumReal = 0;
    let sumImag = 0;
    for (let j = 0, k = 2 * firstBin; j < weights.length; j++, k += 2) {
      const weight = weights[j];
      sumReal += weight * (cross[k] * turnCos - cross[k + 1] * turnSin);
      sumImag += weight * (cross[k] * turnSin + cross[k + 1] * turnCos);
      const nextCos = turnCos * stepCos - turnSin * stepSin;
      turnSin = turnSin * stepCos + turnCos * stepSin;
      turnCos = nextCos;
    }
    real[i] = sumReal / weightSums[i];
    imag[i] = sumImag / weightSums[i];
  }
  return { real, imag, sigma: noiseBeside(plan, cross) };
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
  moveAlongFrequency({ real, imag, frequencyHz: clock.frequencyHz, by: Math.log1p(epsilon) });
  return { real, imag, sigma: response.sigma };
}

/**
 * What the recorder calls f / (1 + e) is f to the player: moves a response up by `by` in ln f, in place, along the local
 * slope of its logarithm (a few ten-thousandths of the distance between points).
 */
function moveAlongFrequency(of: {
  real: Float64Array;
  imag: Float64Array;
  frequencyHz: Float64Array;
  by: number;
}): void {
  const { real, imag, frequencyHz, by } = of;
  const last = real.length - 1;
  let [beforeReal, beforeImag] = [real[0], imag[0]];
  for (let i = 1; i < last; i++) {
    const [hereReal, hereImag] = [real[i], imag[i]];
    const part = by / Math.log(frequencyHz[i + 1] / frequencyHz[i - 1]);
    const growth =
      0.5 * Math.log((real[i + 1] ** 2 + imag[i + 1] ** 2) / (beforeReal ** 2 + beforeImag ** 2));
    const turn = Math.atan2(
      imag[i + 1] * beforeReal - real[i + 1] * beforeImag,
      real[i + 1] * beforeReal + imag[i + 1] * beforeImag,
    );
    const gain = Math.exp(-part * growth);
    const [cos, sin] = [gain * Math.cos(part * turn), -gain * Math.sin(part * turn)];
    real[i] = hereReal * cos - hereImag * sin;
    imag[i] = hereReal * sin + hereImag * cos;
    [beforeReal, beforeImag] = [hereReal, hereImag];
  }
}

function fadedEnds(section: ArrayLike<number>, sampleRateHz: number): Float64Array {
  const samples = Float64Array.from(section);
  const length = Math.round(SECTION_FADE_SECONDS * sampleRateHz);
  for (let n = 0; n < length; n++) {
    const gain = 0.5 * (1 - Math.cos((Math.PI * (n + 0.5)) / length));
    samples[n] *= gain;
    samples[samples.length - 1 - n] *= gain;
  }
  return samples;
}

/** Arrival at each frequency: where the bins of its octave agree on one, otherwise that of the nearest octave which does. */
function arrivalsByOctave(
  cross: Float64Array,
  { binHz, frequencyHz }: { binHz: number; frequencyHz: Float64Array },
): Float64Array {
  const firstOctaveHz = frequencyHz[0];
  const octaveOf = (hz: number) => Math.max(0, Math.floor(Math.log2(hz / firstOctaveHz)));
  const octaveCount = octaveOf(frequencyHz[frequencyHz.length - 1]) + 1;
  const found = Array.from({ length: octaveCount }, (_, octave) => {
    const from = Math.max(1, Math.round((firstOctaveHz * 2 ** octave) / binHz));
    const to = Math.min(cross.length / 2 - 2, Math.round((firstOctaveHz * 2 ** (octave + 1)) / binHz));
    return octaveArrival(cross, { from, to, binHz });
  });
  const filled = found.map((arrival, octave) => arrival ?? nearestKnown(found, octave) ?? 0);
  return frequencyHz.map((hz) => filled[Math.min(octaveCount - 1, octaveOf(hz))]);
}

/**
 * From the turn between bins some way apart: neighbours would let noise, which fills the section unevenly, shift the result
 * by milliseconds.
 */
function octaveArrival(
  cross: Float64Array,
  { from, to, binHz }: { from: number; to: number; binHz: number },
): number | null {
  const farthest = Math.floor(1 / (ARRIVAL_RANGE_SECONDS * binHz));
  const lag = Math.max(1, Math.min(farthest, Math.floor((to - from) * ARRIVAL_LAG_OCTAVE_PART)));
  let real = 0;
  let imag = 0;
  let power = 0;
  for (let k = 2 * from; k < 2 * (to - lag); k += 2) {
    const later = k + 2 * lag;
    real += cross[later] * cross[k] + cross[later + 1] * cross[k + 1];
    imag += cross[later + 1] * cross[k] - cross[later] * cross[k + 1];
    power += cross[k] * cross[k] + cross[k + 1] * cross[k + 1];
  }
  return power > 0 && Math.hypot(real, imag) > COHERENT_OCTAVE * power
    ? -Math.atan2(imag, real) / (2 * Math.PI * binHz * lag)
    : null;
}

function nearestKnown(values: readonly (number | null)[], at: number): number | null {
  for (let away = 1; away < values.length; away++) {
    const known = values[at + away] ?? values[at - away];
    if (known !== null && known !== undefined) return known;
  }
  return null;
}

/**
 * Standard deviation of each part of the response, from how neighbouring bins of Y/X jump: their second difference
 * ignores what arrives near time zero and keeps noise, which is spread over the whole section.
 */
function noiseBeside(plan: SweepPlan, cross: Float64Array): Float64Array {
  const { transformSize, stimulusPower, frequencyHz, sampleRateHz, varianceFactors } = plan;
  const binHz = sampleRateHz / transformSize;
  const lastBin = transformSize / 2 - 1;
  const running = new Float64Array(lastBin + 1);
  for (let k = 2; k < lastBin; k++) {
    const before = stimulusPower[k - 1];
    const here = stimulusPower[k];
    const after = stimulusPower[k + 1];
    const real = cross[2 * k + 2] / after - (2 * cross[2 * k]) / here + cross[2 * k - 2] / before;
    const imag = cross[2 * k + 3] / after - (2 * cross[2 * k + 1]) / here + cross[2 * k - 1] / before;
    running[k] = running[k - 1] + (real * real + imag * imag) * here;
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
