import type { Evidence } from './evidence.ts';
import type { FrequencyResponse } from './response.ts';

/** Everything measured at one tap at one setting; repeats of a take are already averaged into it. */
export interface TapMeasurement {
  readonly tapId: string;
  readonly setting: number;
  readonly evidence: readonly Evidence[];
  /** Measurements with the same value share one time zero, so that their phases and arrivals compare. */
  readonly timeOrigin: string;
  /** Programme on the left only and on the right only, at the main sweep's drive. Both together is their sum. */
  readonly left: FrequencyResponse;
  readonly right: FrequencyResponse;
  /** Left = right at the low drive; null for the response-only track. */
  readonly bothLowDrive: FrequencyResponse | null;
  readonly ladders: readonly LadderMeasurement[];
  /** By how much the quiet lead-in came through louder than the sweeps say, decibels: an automatic gain. */
  readonly leadInExcessDb?: number | null | undefined;
  readonly noise: NoiseMeasurement | null;
  readonly recorder: RecorderState;
  /** RMS volts at the tap for a full-scale sine in the recording; null where uncalibrated. */
  readonly voltsPerFullScale: VoltsPerFullScale | null;
  readonly supplyVolts: number | null;
  /** Number of takes averaged and the largest difference between them, 40 Hz to 15 kHz where trusted. */
  readonly repeats: { readonly count: number; readonly spreadDb: number };
}

export interface VoltsPerFullScale {
  readonly volts: number;
  /** Relative, 0.01 is one percent: meter and resistor tolerance. */
  readonly relativeUncertainty: number;
}

/** A tone whose drive rises in steps (left = right in phase). */
export interface LadderMeasurement {
  readonly toneHz: number;
  /** Highest harmonic that was summed, limited by the recording's rate and by 10. */
  readonly highestHarmonic: number;
  readonly steps: readonly LadderStep[];
}

export interface LadderStep {
  readonly driveDbFs: number;
  /** Fundamental in the recording; 0 dBFS is a full-scale sine (AES17). */
  readonly levelDbFs: number;
  /** Standard deviation of `levelDbFs` from the residual beside the harmonics. */
  readonly levelSigmaDb: number;
  /** Harmonics 2, 3, ... as ratios to the fundamental, noise power subtracted (0 where below it). */
  readonly harmonics: readonly number[];
  /** RMS of the harmonics over the fundamental, a ratio (0.01 is 1 %), noise subtracted. */
  readonly thd: number;
  /** `thd` with each harmonic divided by H(kf)/H(f) of the tap; null where the tone itself is too far down. */
  readonly thdBeforeFilters: number | null;
  /** What noise alone would read as `thd`. */
  readonly thdNoise: number;
  readonly peakDbFs: number;
}

export interface NoiseMeasurement {
  /** 20 Hz to 20 kHz, under the quiet tone with the tone removed; RMS, dBFS of a full-scale sine. */
  readonly underQuietToneDbFs: number;
  readonly underQuietToneADbFs: number;
  /** The same in digital silence. */
  readonly inSilenceDbFs: number;
  /** Steady lines that stand out of the floor under the quiet tone. */
  readonly lines: readonly { readonly frequencyHz: number; readonly levelDbFs: number }[];
  /** Recorder's own floor from the shorted take, null without one. */
  readonly recorderDbFs: number | null;
}

export interface RecorderState {
  readonly peakDbFs: number;
  /** Runs of samples at the recorder's own full scale. */
  readonly clippedRuns: number;
  /** Mean of the samples, full scale = 1. */
  readonly dcOffset: number;
  /** Recorder clock against player clock, parts per million, positive where the recorder runs fast. */
  readonly clockPpm: number;
  /** Whether a loop take took the recorder's own shape out of the responses. */
  readonly dividedOut?: boolean | undefined;
}
