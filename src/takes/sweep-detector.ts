import { complexSpectrum, realSpectrum } from '../dsp/fft.ts';
import { doubles, floats, reused } from '../dsp/kernels/kernel-arrays.ts';
import { kernels } from '../dsp/kernels/kernels.ts';
import { type Sweep, sweepValues } from '../dsp/sweep.ts';

/** A place where a recording resembles a sweep: its start and the part of the local signal that the sweep explains, 0 to 1. */
export interface SweepHit {
  readonly startSeconds: number;
  readonly correlation: number;
}

/** Below this a hit is chance: one octave of an eleven-octave sweep still reaches 0.3, other sections of the track 0.15. */
const LEAST_CORRELATION = 0.2;
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
  const valueAt = sweepValues(sweep);
  const template = Float64Array.from({ length: templateLength }, (_, n) =>
    sweepFrequency(sweep, n / sampleRateHz) < HIGHEST_PART_OF_RATE * sampleRateHz
      ? valueAt(n / sampleRateHz)
      : 0,
  );
  const templateEnergy = template.reduce((sum, value) => sum + value * value, 0);
  const templateSpectrum = realSpectrum(template, size, doubles(size + 2));

  return {
    templateLength,
    find(piece, spectrum) {
      const correlation = analyticCorrelation({ spectrum, templateSpectrum });
      const scale = 2 / size / Math.sqrt(templateEnergy);
      return peaksOf(
        normalisedCorrelation(piece, { correlation, templateLength, scale }),
        sampleRateHz / STEP,
      );
    },
  };
}

/** @param scale of the correlation's size over the square root of the piece's energy under the template */
function normalisedCorrelation(
  piece: Float32Array,
  of: { correlation: Float64Array; templateLength: number; scale: number },
): Float32Array {
  const { correlation, templateLength, scale } = of;
  const count = Math.max(0, (piece.length - templateLength + STEP) >> 1);
  const normalised = normalisedWork(count);
  kernels.normalisedCorrelation(
    piece,
    correlation,
    normalised,
    scale,
    EMPTY_PART,
    piece.length,
    templateLength,
    count,
  );
  return normalised;
}

const normalisedWork = reused(floats);

/** An analytic signal has half of the band, so that every second sample holds all of it. */
const STEP = 2;

/**
 * Every STEP-th sample of the analytic signal of a piece's correlation with the template, from the positive frequencies
 * alone; conjugated and not scaled. Its size is the envelope.
 */
function analyticCorrelation(of: { spectrum: Float64Array; templateSpectrum: Float64Array }): Float64Array {
  const { spectrum, templateSpectrum } = of;
  const size = spectrum.length - 2;
  const product = productWork(size);
  kernels.correlationBins(spectrum, templateSpectrum, product, size / 2);
  return complexSpectrum(product, scratchWork(size));
}

/** Shared by all detectors: each array is a megabyte and more. */
const productWork = reused(doubles);
const scratchWork = reused(doubles);

function sweepFrequency({ startHz, endHz, durationSeconds }: Sweep, seconds: number): number {
  return startHz * (endHz / startHz) ** (seconds / durationSeconds);
}

function peaksOf(correlation: Float32Array, sampleRateHz: number): SweepHit[] {
  const spacing = HIT_SPACING_SECONDS * sampleRateHz;
  const hits: { at: number; correlation: number }[] = [];
  for (let n = 0; n < correlation.length; n++) {
    const value = correlation[n];
    if (value < LEAST_CORRELATION || value < (correlation[n - 1] ?? 0) || value < (correlation[n + 1] ?? 0))
      continue;
    const last = hits.at(-1);
    if (last === undefined || n - last.at > spacing) hits.push({ at: n, correlation: value });
    else if (value > last.correlation) hits[hits.length - 1] = { at: n, correlation: value };
  }
  return hits.map((hit) => {
    const peak = betweenSamples(correlation, hit.at);
    return { startSeconds: peak.at / sampleRateHz, correlation: peak.correlation };
  });
}

/** The top of the parabola through a peak and its neighbours. */
function betweenSamples(correlation: Float32Array, at: number): { at: number; correlation: number } {
  if (at === 0 || at === correlation.length - 1) return { at, correlation: correlation[at] };
  const [before, peak, after] = correlation.subarray(at - 1, at + 2);
  const bend = before - 2 * peak + after;
  const shift = bend < 0 ? (before - after) / (2 * bend) : 0;
  return { at: at + shift, correlation: Math.min(1, peak - ((before - after) * shift) / 4) };
}
