import type { Reason } from '../model/reason.ts';

/**
 * A recording that is read section by section, so that one of any length needs little memory.
 * Samples are scaled so that 1 is full scale (positive and negative alike).
 */
export interface Sound {
  readonly name: string;
  readonly sampleRateHz: number;
  readonly channelCount: number;
  /** Number of sample frames. */
  readonly length: number;
  /** Things worth telling that did not stop the reading, such as a data size repaired from the file's length. */
  readonly notes: readonly Reason[];
  /**
   * One array a channel, `count` samples from frame `start`; what lies outside the recording is zero.
   *
   * @param section.into arrays of `count` samples that may be filled and answered, for those who read block after block
   * @param section.channels which channels are asked for, counted from 0; all where absent. What stands in the place of the
   *   others has no meaning, and decoding them is saved.
   */
  readSection(section: {
    start: number;
    count: number;
    into?: Float32Array[];
    channels?: readonly number[];
  }): Float32Array[];
  /** The value of one step of the format near full scale, e.g. 2^-23 for 24 bits: what counts as "at full scale". */
  readonly fullScaleStep: number;
}
