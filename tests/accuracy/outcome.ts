import type { Finding } from '../../src/model/finding.ts';
import type { Measured, MeasuredOrReason } from '../../src/model/measured.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';

/** How one statement of an analysis, or its absence, stands to what the scenario makes true. */
export type Judgement =
  | 'right claim'
  | 'right silence'
  | 'false claim'
  | 'miss'
  | 'rightly withheld'
  | 'wrongly withheld'
  /** So near the limit of what counts that either answer will do. */
  | 'borderline';

export interface Claim {
  readonly what: string;
  readonly judgement: Judgement;
  /** Of a full-scale sine at that tap, where it is strongest. */
  readonly snrDb: number;
  readonly where: string;
  readonly detail: string;
}

/** A number held against the truth, both in `unit`. */
export interface Reading {
  readonly what: string;
  readonly unit: string;
  readonly error: number;
  /** As stated, 95 %; null where the finding states none. */
  readonly plusMinus: number | null;
  readonly snrDb: number;
  readonly where: string;
  readonly detail: string;
}

/** What the analysis of one system said; judged afterwards, so that a better judge needs no new recordings. */
export interface Analysed {
  readonly seed: number;
  readonly findings: readonly Finding[];
  /** Band of each tap that stands clear of the noise, by tap: the widest of its settings. */
  readonly trustedHz: Readonly<Record<string, readonly [number, number]>>;
  readonly seconds: { readonly simulated: number; readonly analysed: number };
  /** Where the analysis itself broke down, or left a recording out. */
  readonly failure: string | null;
}

/** All that one system says about the method. */
export interface Outcome {
  readonly seed: number;
  readonly nothingToFind: boolean;
  /** What kind of radio or recorder it is, where it is not one of the usual. */
  readonly unusual: string | null;
  readonly snrDb: number;
  readonly seconds: { readonly simulated: number; readonly analysed: number };
  readonly claims: readonly Claim[];
  readonly readings: readonly Reading[];
  readonly failure: string | null;
}

/** `said`: null where the analysis withholds the answer. */
export function judged(of: {
  truth: 'present' | 'absent' | 'borderline';
  said: boolean | null;
  /** Whether the recordings carry the answer. */
  answerable: boolean;
}): Judgement {
  const { truth, said, answerable } = of;
  if (said === null)
    return truth === 'borderline' ? 'borderline' : answerable ? 'wrongly withheld' : 'rightly withheld';
  if (truth === 'borderline') return 'borderline';
  if (truth === 'present') return said ? 'right claim' : answerable ? 'miss' : 'rightly withheld';
  return said ? 'false claim' : 'right silence';
}

/** A name that was given (a family, a slope, a place): right, wrong, or withheld. */
export function judgedName(of: {
  truth: string;
  said: string | null;
  accepted?: readonly string[];
  answerable: boolean;
}): Judgement {
  const { truth, said, accepted = [], answerable } = of;
  if (said === null) return answerable ? 'wrongly withheld' : 'rightly withheld';
  return said === truth || accepted.includes(said) ? 'right claim' : 'false claim';
}

/**
 * Error in decibels of a quantity in volts. Its stated uncertainty is mostly the pad's and the meter's tolerance, which the
 * simulated ones do not have, so that coverage would say nothing.
 */
export function inDecibels(answer: Measured, truth: number): { error: number; plusMinus: null } {
  return { error: 20 * Math.log10(answer.value / truth), plusMinus: null };
}

export function inPercent(answer: Measured, truth: number): { error: number; plusMinus: number } {
  return {
    error: 100 * (answer.value / truth - 1),
    plusMinus: (100 * answer.plusMinus) / Math.abs(answer.value),
  };
}

export function given(answer: MeasuredOrReason): Measured[] {
  return isNotMeasurable(answer) ? [] : [answer];
}
