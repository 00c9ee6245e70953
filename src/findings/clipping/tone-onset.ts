import type { NotMeasurable } from '../../model/measured.ts';
import type { ClipOnset } from './clip-between-steps.ts';

/** Onset of clipping of one ladder tone. */
export interface ToneOnset {
  readonly toneHz: number;
  readonly highestHarmonic: number;
  readonly onset: ClipOnset | NotMeasurable;
  /** Highest level and drive of the tone that were recorded without clipping. */
  readonly cleanUpToDbFs: number;
  readonly cleanUpToDriveDbFs: number;
  /** It does not clip up to the loudest step of the track, and nothing would have hidden it. */
  readonly cleanToTop: boolean;
}
