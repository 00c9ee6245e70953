import { complexSpectrum, realSpectrum } from '../dsp/fft.ts';
import { type Sweep, sweepValue } from '../dsp/sweep.ts';

/** A place where a recording resembles a sweep: its start and the part of the local signal that the sweep explains, 0 to 1. */
export interface SweepHit {
  readonly startSeconds: number;
  readonly likeness: number;
}

/** Below this a hit is chance: one octave of an eleven-octave sweep still reaches 0.3, other sections of the track 0.15. */
const LEAST_LIKENESS = 0.2;
/** The sweep above this part of the rate is left out: the decimated recording does not hold it. */
const HIGHEST_PART_OF_RATE = 0.4;
/** Two starts of the same sweep are never nearer than this. */
const HIT_SPACING_SECONDS = 0.5;
/** Where less than this part of a piece's energy lies, rounding would be compared with the sweep. */
const EMPTY_PART = 1e-9;

/** Finds one kind of sweep in pieces of `size` samples by matched filter (normalised correlation, envelope). */
export interface SweepDetector {
  readonly templateLength: number;
  find(piece: Float32Array, spectrum: Float64Array): SweepHit[];
}

export function sweepDetector(of: { sweep: Sweep; sampleRateHz: number; size: number }): SweepDetector {
  const { sweep, sampleRateHz, size } = of;
  const templateLength = Math.round(sweep.durationSeconds * sampleRateHz);
  // What lies above the rate's own band would alias; the sweep passes it last.
  const template = Float64Array.from({ length: templateLength }, (_, n) =>
    sweepFrequency(sweep, n / sampleRateHz) < HIGHEST_PART_OF_RATE * sampleRateHz
      ? sweepValue(sweep, n / sampleRateHz)
      : 0,
  );
  const templateEnergy = template.reduce((sum, value) => sum + value * value, 0);
  const templateSpectrum = realSpectrum(template, size);

  return {
    templateLength,
    find(piece, spectrum) {
      const correlation = analyticCorrelation({ spectrum, templateSpectrum });
      const scale = 2 / size / Math.sqrt(templateEnergy);
      return peaksOf(likenessAlong(piece, { correlation, templateLength, scale }), sampleRateHz / STEP);
    },
  };
}

/** @param scale of the correlation's size over the square root of the piece's energy under the template */
function likenessAlong(
  piece: Float32Array,
  of: { correlation: Float64Array; templateLength: number; scale: number },
): Float32Array {
  const { correlation, templateLength, scale } = of;
  const likeness = new Float32Array(Math.max(0, (piece.length - templateLength + STEP) >> 1));
  const leastEnergy = EMPTY_PART * energyOf(piece);
  let energy = energyOf(piece.subarray(0, templateLength));
  for (let j = 0, n = 0; j < likeness.length; j++, n += STEP) {
    const power = correlation[2 * j] * correlation[2 * j] + correlation[2 * j + 1] * correlation[2 * j + 1];
    likeness[j] = energy > leastEnergy ? Math.min(1, scale * Math.sqrt(power / energy)) : 0;
    // At the very end there is nothing behind the template: what comes no longer counts.
    const gone = piece[n] * piece[n] + piece[n + 1] * piece[n + 1];
    const next = n + templateLength;
    const come = next + 1 < piece.length ? piece[next] * piece[next] + piece[next + 1] * piece[next + 1] : 0;
    energy = Math.max(0, energy + come - gone);
  }
  return likeness;
}

/** An analytic signal has half of the band, so that every second sample holds all of it. */
const STEP = 2;

/**
 * Every STEP-th sample of the analytic signal of a piece's correlation with the template, from the positive frequencies
 * alone; conjugated and not scaled. Its size is the envelope.
 */
function analyticCorrelation(of: { spectrum: Float64Array; templateSpectrum: Float64Array }): Float64Array {
  const { spectrum, templateSpectrum } = of;
  const { product, scratch } = workOf(spectrum.length - 2);
  product[0] = 0;
  product[1] = 0;
  for (let k = 2; k < product.length; k += 2) {
    product[k] = spectrum[k] * templateSpectrum[k] + spectrum[k + 1] * templateSpectrum[k + 1];
    product[k + 1] = spectrum[k] * templateSpectrum[k + 1] - spectrum[k + 1] * templateSpectrum[k];
  }
  return complexSpectrum(product, scratch);
}

let work = { product: new Float64Array(0), scratch: new Float64Array(0) };

/** Shared by all detectors: each array is a megabyte and more. */
function workOf(size: number): typeof work {
  if (work.product.length !== size)
    work = { product: new Float64Array(size), scratch: new Float64Array(size) };
  return work;
}

function energyOf(samples: Float32Array): number {
  let sum = 0;
  for (let n = 0; n < samples.length; n++) sum += samples[n] * samples[n];
  return sum;
}

function sweepFrequency({ startHz, endHz, durationSeconds }: Sweep, seconds: number): number {
  return startHz * (endHz / startHz) ** (seconds / durationSeconds);
}

function peaksOf(likeness: Float32Array, sampleRateHz: number): SweepHit[] {
  const spacing = HIT_SPACING_SECONDS * sampleRateHz;
  const hits: { at: number; likeness: number }[] = [];
  for (let n = 0; n < likeness.length; n++) {
    const value = likeness[n];
    if (value < LEAST_LIKENESS || value < (likeness[n - 1] ?? 0) || value < (likeness[n + 1] ?? 0)) continue;
    const last = hits.at(-1);
    if (last === undefined || n - last.at > spacing) hits.push({ at: n, likeness: value });
    else if (value > last.likeness) hits[hits.length - 1] = { at: n, likeness: value };
  }
  return hits.map((hit) => {
    const peak = betweenSamples(likeness, hit.at);
    return { startSeconds: peak.at / sampleRateHz, likeness: peak.likeness };
  });
}

/** The top of the parabola through a peak and its neighbours. */
function betweenSamples(likeness: Float32Array, at: number): { at: number; likeness: number } {
  if (at === 0 || at === likeness.length - 1) return { at, likeness: likeness[at] };
  const [before, peak, after] = likeness.subarray(at - 1, at + 2);
  const bend = before - 2 * peak + after;
  const shift = bend < 0 ? (before - after) / (2 * bend) : 0;
  return { at: at + shift, likeness: Math.min(1, peak - ((before - after) * shift) / 4) };
}
