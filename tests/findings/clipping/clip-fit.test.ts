import { describe, expect, it } from 'vitest';
import { clippedSineHarmonic, clippedSineLevelDb, clippedSineThd } from '../../../src/dsp/clip-distortion.ts';
import {
  firstDistorted,
  hardClipThd,
  onsetBetweenSteps,
} from '../../../src/findings/clipping/clip-between-steps.ts';
import { fitClipPoint } from '../../../src/findings/clipping/clip-fit.ts';
import { meanGain, quietGain, recordedSteps } from '../../../src/findings/clipping/ladder.ts';
import type { LadderMeasurement, LadderStep, TapMeasurement } from '../../../src/model/measurement.ts';
import { fullTrack, sectionOf } from '../../../src/tones/track.ts';

const DRIVES = sectionOf(fullTrack, 'ladder', 'ladder middle')!.driveDbFs;
const HARMONICS = Array.from({ length: 9 }, (_, j) => j + 2);
const ONES = HARMONICS.map(() => 1);
const GAIN_DB = -14;

/** A tone through a hard clip, by its closed form. */
function clipped(
  clipPointDb: number,
  of: {
    harmonicGains?: readonly number[];
    sigmaDb?: number;
    thdNoise?: number;
    drives?: readonly number[];
  } = {},
): LadderStep[] {
  const { harmonicGains = ONES, sigmaDb = 0.002, thdNoise = 1e-5, drives = DRIVES } = of;
  return drives.map((driveDbFs) => {
    const ratio = Math.min(1, 10 ** ((clipPointDb - driveDbFs) / 20));
    const lossDb = ratio === 1 ? 0 : clippedSineLevelDb(ratio);
    const fundamental = clippedSineHarmonic({ ratio, harmonic: 1 });
    const harmonics = HARMONICS.map((harmonic, j) =>
      ratio === 1 ? 0 : (harmonicGains[j] * Math.abs(clippedSineHarmonic({ ratio, harmonic }))) / fundamental,
    );
    return {
      driveDbFs,
      levelDbFs: driveDbFs + GAIN_DB + lossDb,
      levelSigmaDb: sigmaDb,
      harmonics,
      thd: Math.hypot(...harmonics),
      thdBeforeFilters: null,
      thdNoise,
      peakDbFs: -20,
    };
  });
}
const fit = (steps: readonly LadderStep[], harmonicGains: readonly number[] = ONES) =>
  fitClipPoint({ steps, quietGainDb: GAIN_DB, harmonicGains });

describe('the curve of a hard clip', () => {
  it('has the drive at which the peak meets the limit, and the gain before it.', () => {
    for (const clipPointDb of [-9.3, -6, -2.71, -0.4]) {
      const found = fit(clipped(clipPointDb))!;
      expect(Math.abs(found.clipPointDb - clipPointDb)).toBeLessThan(1e-3);
      expect(found.gainDb).toBeCloseTo(GAIN_DB, 3);
      expect(found.misfit).toBeLessThan(0.05);
      expect(found.sigmaDb).toBeLessThan(1e-3);
      expect(found.gainOverNone).toBeGreaterThan(1000);
      expect(found.harmonicGainOverNone / found.harmonicGainExpected).toBeCloseTo(1, 3);
    }
  });

  it('is found behind filters that take harmonics away, with what they leave.', () => {
    const gains = HARMONICS.map((k) => k ** -2);
    const steps = clipped(-5, { harmonicGains: gains });
    expect(Math.abs(fit(steps, gains)!.clipPointDb + 5)).toBeLessThan(1e-3);
    expect(fit(steps)!.misfit).toBeGreaterThan(5);
  });

  it('is as uncertain as level and harmonics are.', () => {
    const sigma = (of: Parameters<typeof clipped>[1]) => {
      // Readings that are off by as much as their noise allows: every second step is.
      const steps = clipped(-5, of).map((step, i) => ({
        ...step,
        levelDbFs: step.levelDbFs + (i % 2 === 0 ? 1 : -1) * step.levelSigmaDb,
      }));
      return fit(steps)!.sigmaDb;
    };
    const [quiet, noisy] = [
      sigma({ sigmaDb: 0.02, thdNoise: 0.003 }),
      sigma({ sigmaDb: 0.2, thdNoise: 0.03 }),
    ];
    expect(noisy / quiet).toBeGreaterThan(3);
    expect(noisy).toBeGreaterThan(0.02);
    expect(noisy).toBeLessThan(0.5);
  });

  it('explains nothing where nothing clips: its gain over none is small, and below nothing without harmonics.', () => {
    expect(fit(clipped(9))!.gainOverNone).toBeLessThan(1e-6);
    const limited = clipped(-5).map((step) => ({ ...step, harmonics: HARMONICS.map(() => 0), thd: 0 }));
    const found = fit(limited)!;
    expect(found.harmonicGainOverNone).toBeLessThanOrEqual(0);
    expect(found.misfit).toBeGreaterThan(2.5);
  });

  it('is fitted up to 1.2 dB of loss, from three steps on: beyond, a second stage may clip too.', () => {
    const twice = clipped(-9).map((step) =>
      step.driveDbFs > -5
        ? { ...step, levelDbFs: step.levelDbFs - 3, harmonics: HARMONICS.map(() => 0.3) }
        : step,
    );
    expect(Math.abs(fit(twice)!.clipPointDb + 9)).toBeLessThan(1e-3);
    expect(fit(clipped(-5, { drives: [-20, -6] }))).toBeNull();
    expect(fit(clipped(-5, { drives: [-20, -6, -4.5] }))).not.toBeNull();
  });
});

describe('an onset between two steps', () => {
  const ladderOf = (steps: readonly LadderStep[]): LadderMeasurement => ({
    toneHz: 997,
    highestHarmonic: 10,
    steps,
  });
  const steps = (thd: readonly number[], part: Partial<LadderStep> = {}): LadderStep[] =>
    clipped(9, { drives: thd.map((_, i) => -10 + 2 * i) }).map((step, i) => ({
      ...step,
      thd: thd[i],
      ...part,
    }));
  const between = (thd: readonly number[], part: Partial<LadderStep> = {}) => {
    const all = steps(thd, part);
    return onsetBetweenSteps({ steps: all, quietGainDb: GAIN_DB, ladder: ladderOf(all) });
  };

  it('lies on the straight line to 1 %, 0.42 of a step uncertain.', () => {
    expect(between([0.002, 0.004, 0.008, 0.016, 0.03])).toEqual({
      driveDbFs: expect.closeTo(-5.5, 9),
      driveSigmaDb: expect.closeTo(0.84, 9),
      levelDbFs: expect.closeTo(-5.5 + GAIN_DB, 9),
      clipPointLevelDbFs: null,
      distortion: 'as recorded',
    });
  });

  it('is none where all or no steps are distorted, and counts from where they stay so.', () => {
    expect(between([0.002, 0.004, 0.009])).toBeNull();
    expect(between([0.02, 0.03, 0.04])).toBeNull();
    expect(between([0.002, 0.02, 0.002, 0.01])?.driveDbFs).toBeCloseTo(-4, 9);
    expect(between([0.002, 0.004, 0.008, 0.016], { thdNoise: 0.0081 })).toBeNull();
    expect(between([0.002, 0.004, 0.008, 0.016], { thdNoise: 0.0079 })).not.toBeNull();
    expect(firstDistorted(steps([0.002, 0.02, 0.002, 0.01, 0.02]))?.driveDbFs).toBe(-4);
    expect(firstDistorted(steps([0.002, 0.009]))).toBeNull();
  });

  it('is a limiter’s where more than 0.5 dB is lost with less than a third of a clip’s distortion.', () => {
    const lost = (lossDb: number, thd: number) => {
      const all = steps([0.001, thd]);
      const last = { ...all[1], levelDbFs: all[1].levelDbFs - lossDb };
      return onsetBetweenSteps({ steps: [all[0], last], quietGainDb: GAIN_DB, ladder: ladderOf(all) });
    };
    const clip = hardClipThd(1, 10);
    expect([lost(1, 0.32 * clip) === null, lost(1, 0.35 * clip) === null]).toEqual([true, false]);
    expect([lost(0.49, 0.011) === null, lost(0.51, 0.011) === null]).toEqual([false, true]);
    // 1 dB off the fundamental: the ratio of that loss, and its harmonics by the closed form.
    const ratio = Array.from({ length: 9000 }, (_, i) => 0.1 + i / 10_000).find(
      (one) => clippedSineLevelDb(one) > -1,
    )!;
    expect(Math.abs(clip / clippedSineThd({ ratio, highestHarmonic: 10 }) - 1)).toBeLessThan(0.01);
  });
});

describe('the gain of quiet steps', () => {
  it('is the mean of level over drive up to -26 dBFS, weighted by the noise and 0.003 dB.', () => {
    const [one, two, loud] = clipped(9, { drives: [-40, -26, -24] });
    const steps = [
      { ...one, levelDbFs: -40 - 10, levelSigmaDb: 0.004 },
      { ...two, levelDbFs: -26 - 11, levelSigmaDb: Math.sqrt(0.005 ** 2 * 4 - 0.003 ** 2) },
      { ...loud, levelDbFs: 0 },
    ];
    // Standard deviations of 0.005 and 0.010 dB: weights of 4 to 1.
    expect(quietGain(steps)).toEqual({
      value: expect.closeTo(-10.2, 9),
      sigma: expect.closeTo(0.005 / Math.sqrt(1.25), 9),
    });
    expect(quietGain(steps.slice(2))).toBeNull();
    expect(meanGain([])).toBeNull();
  });

  it('leaves out the steps from where the recorder clipped.', () => {
    const all = clipped(9, { drives: [-20, -10, -5, -2] }).map((step, i) => ({
      ...step,
      peakDbFs: [-15, -5, -0.01, -0.01][i],
    }));
    const of = (clippedRuns: number, peakDbFs = 0) =>
      recordedSteps({ toneHz: 997, highestHarmonic: 10, steps: all }, {
        recorder: { clippedRuns, peakDbFs },
      } as TapMeasurement).length;
    expect([of(0), of(3), of(3, 0.5), of(3, -5)]).toEqual([4, 2, 2, 1]);
    expect(of(3, 0.02)).toBe(2);
  });
});
