import type { SweepPlan } from '../../dsp/sweep-plan.ts';
import type { SweepResponse } from '../../dsp/sweep-response.ts';
import type { SweepSection } from '../../tones/track.ts';

/** One sweep of a take on every channel asked for, clocks not corrected. */
export interface SectionResponses {
  readonly section: SweepSection;
  readonly plan: SweepPlan;
  /** Where in the recording the section was read. */
  readonly startFrame: number;
  /** Samples of one channel by its place in `channels`; overwritten when another section is read. */
  readAgain(i: number): Float32Array;
  /** What they hold beside the sweep (`sweepResidual`); overwritten when that of another section or channel is asked for. */
  residual(i: number): Float64Array;
  readonly channels: readonly SweepResponse[];
  /** The recording began or ended within it. */
  readonly isPart?: boolean;
}
