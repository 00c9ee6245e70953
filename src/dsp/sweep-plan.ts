import type { NoiseBands } from './noise-beside.ts';
import type { Octaves } from './octave-arrivals.ts';
import type { SmoothingKernel } from './smoothing-kernel.ts';
import type { Sweep } from './sweep.ts';

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
  readonly smoothing: readonly SmoothingKernel[];
  /** The weights of `smoothing`, one behind the other: those of frequency i from starts[i] on, for bins or blocks from firsts[i] on. */
  readonly weights: { readonly all: Float64Array; readonly starts: Int32Array; readonly firsts: Int32Array };
  /** Sum of kernel times stimulus power at each frequency, and the variance of the quotient for unit noise in a bin. */
  readonly weightSums: Float64Array;
  readonly varianceFactors: Float64Array;
  readonly noiseBands: NoiseBands;
}
