import { inverseComplex, realSpectrum } from '../dsp/fft.ts';
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
      // Twice the positive frequencies only: the inverse is the analytic signal, whose magnitude is the envelope.
      const { product, correlation } = workOf(size);
      product.fill(0);
      for (let k = 2; k < size; k += 2) {
        product[k] = 2 * (spectrum[k] * templateSpectrum[k] + spectrum[k + 1] * templateSpectrum[k + 1]);
        product[k + 1] = 2 * (spectrum[k + 1] * templateSpectrum[k] - spectrum[k] * templateSpectrum[k + 1]);
      }
      inverseComplex(product, correlation);
      const likeness = new Float32Array(Math.max(0, piece.length - templateLength + 1));
      let energy = 0;
      for (let n = 0; n < templateLength; n++) energy += piece[n] * piece[n];
      const leastEnergy = EMPTY_PART * piece.reduce((sum, value) => sum + value * value, 0);
      for (let n = 0; n < likeness.length; n++) {
        const envelopePower = correlation[2 * n] ** 2 + correlation[2 * n + 1] ** 2;
        likeness[n] =
          energy > leastEnergy ? Math.min(1, Math.sqrt(envelopePower / (energy * templateEnergy))) : 0;
        energy = Math.max(0, energy + piece[n + templateLength] ** 2 - piece[n] ** 2);
      }
      return peaksOf(likeness, sampleRateHz);
    },
  };
}

let work = { product: new Float64Array(0), correlation: new Float64Array(0) };

/** Shared by all detectors: each array is some megabytes. */
function workOf(size: number): typeof work {
  if (work.product.length !== 2 * size)
    work = { product: new Float64Array(2 * size), correlation: new Float64Array(2 * size) };
  return work;
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
  return hits.map(({ at, likeness: value }) => ({ startSeconds: at / sampleRateHz, likeness: value }));
}
