import type { FindingOf } from '../../model/finding.ts';

/** `brief` is for the first screen: alike pairs as one, no knobs, slopes and pins. */
export type Detail = 'planned' | 'brief';

/** The chain as a drawing shows it: boxes with lines of words, in the order of the signal, and volts between them. */
export interface DrawnChain {
  readonly setting: number | null;
  readonly outputs: readonly DrawnOutput[];
  readonly feeds: readonly DrawnFeed[];
}

export interface DrawnOutput {
  readonly id: string;
  readonly lines: readonly string[];
  /** RMS, for a full-scale tone at the highest clean setting; null where they are not known. */
  readonly volts: number | null;
  readonly clipsFirst: boolean;
  readonly inUse: boolean;
}

export interface DrawnFeed {
  readonly name: string;
  readonly sides: readonly {
    readonly name: string;
    readonly summed: boolean;
    readonly taps: readonly DrawnTap[];
  }[];
  readonly stages: readonly DrawnStage[];
  /** Why there are no volts, or on what they depend; cautions of this feed. */
  readonly remarks: readonly string[];
}

/** A wire pair from an output into a side of a feed. */
export interface DrawnTap {
  readonly id: string;
  /** "swap +/-", with the side where only one of a drawn pair is swapped; empty as wired. */
  readonly swap: string;
  readonly trim: string;
}

export interface DrawnStage {
  readonly kind: 'converter' | 'amplifier' | 'speakers';
  readonly lines: readonly string[];
  /** Feeds that share a part say so by the same text: one box is drawn for them. */
  readonly part: string;
  /** What comes out of it; null at its end, and where it is not known. */
  readonly volts: number | null;
  readonly clipsFirst: boolean;
}

/** What of an output's findings is worth a place in its box. */
export interface FoundOfOutput {
  readonly bass: FindingOf<'bass-change'> | undefined;
  readonly limiter: FindingOf<'bass-limiter'> | undefined;
  readonly timing: FindingOf<'timing'> | undefined;
  readonly law: FindingOf<'volume-law'> | undefined;
}
