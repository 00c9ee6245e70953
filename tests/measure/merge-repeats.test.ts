import { describe, expect, it } from 'vitest';
import { withoutKnockedSteps } from '../../src/measure/ladders/knocked-steps.ts';
import { tonesAgainstSweep } from '../../src/measure/ladders/tone-against-sweep.ts';
import { mergeRepeats } from '../../src/measure/merge-repeats.ts';
import { ladderWithoutRecorder } from '../../src/measure/recorder/ladder-without-recorder.ts';
import type { LadderMeasurement, LadderStep, TapMeasurement } from '../../src/model/measurement.ts';
import { recording } from '../verify/exact-recordings.ts';
import { exactResponse } from './exact-response.ts';

const step = (driveDbFs: number, part: Partial<LadderStep> = {}): LadderStep => ({
  driveDbFs,
  levelDbFs: driveDbFs - 20,
  levelSigmaDb: 0.04,
  harmonics: [0.003, 0.004],
  thd: 0.005,
  thdBeforeFilters: null,
  thdNoise: 0.001,
  peakDbFs: driveDbFs - 17,
  ...part,
});
const ladder = (...steps: LadderStep[]): LadderMeasurement => ({ toneHz: 997, highestHarmonic: 3, steps });
const repeat = (gain: number, more: Partial<TapMeasurement> = {}): TapMeasurement => ({
  ...recording({}),
  left: exactResponse({ gain, sigma: 0.003 }),
  right: exactResponse({ gain: 0, sigma: 1e-9 }),
  ...more,
});

describe('repeats of a setting', () => {
  it('are averaged; their noise falls with the root of their number, and how far they lie apart is told.', () => {
    const [merged, ...others] = mergeRepeats([repeat(1), repeat(1.1)]);
    expect(others).toEqual([]);
    const at = 300;
    expect(merged.left.real[at]).toBeCloseTo(1.05, 1);
    expect(merged.left.sigma[at]).toBeCloseTo(0.003 / Math.SQRT2, 9);
    // 1 against 1.05 is 0.42 dB, and noise of a quarter of a percent adds some hundredths.
    expect(merged.repeats.count).toBe(2);
    expect(Math.abs(merged.repeats.spreadDb - 20 * Math.log10(1.05))).toBeLessThan(0.1);
    expect(merged.evidence).toHaveLength(2);
  });

  it('on another time zero are left out, and other taps and settings are their own.', () => {
    const [merged] = mergeRepeats([repeat(1), repeat(2, { timeOrigin: 'elsewhere' })]);
    expect(merged.repeats.count).toBe(1);
    expect(merged.left.real[300]).toBeCloseTo(1, 1);
    expect(mergeRepeats([repeat(1), repeat(1, { setting: 24 }), repeat(1, { tapId: 'other' })])).toHaveLength(
      3,
    );
    const alone = repeat(1);
    expect(mergeRepeats([alone])[0]).toBe(alone);
  });

  it('keep the louder peak, all clipped runs, the first noise, and low-drive sweeps where there are any.', () => {
    const recorder = (peakDbFs: number, clippedRuns: number) => ({
      peakDbFs,
      clippedRuns,
      dcOffset: 0,
      clockPpm: 5,
    });
    const noise = { underQuietToneDbFs: -90 } as unknown as TapMeasurement['noise'];
    const low = exactResponse({ gain: 3 });
    const [merged] = mergeRepeats([
      repeat(1, { recorder: recorder(-6, 2) }),
      repeat(1, { recorder: recorder(-3, 1), noise, bothLowDrive: low }),
    ]);
    expect(merged.recorder).toEqual(recorder(-3, 3));
    expect(merged.noise).toBe(noise);
    expect(merged.bothLowDrive!.real[300]).toBeCloseTo(3, 4);
    expect(mergeRepeats([repeat(1), repeat(1)])[0].bothLowDrive).toBeNull();
  });

  it('average their ladders step by step, those of a step that one of them lacks too.', () => {
    const loud = step(-10, {
      levelDbFs: -29,
      thd: 0.009,
      harmonics: [0.005, 0.006],
      thdBeforeFilters: 0.02,
      peakDbFs: -20,
    });
    const [merged] = mergeRepeats([
      repeat(1, { ladders: [ladder(step(-20), step(-10))] }),
      repeat(1, { ladders: [ladder(loud, step(0))] }),
      repeat(1, { ladders: [] }),
    ]);
    const [first, second, third] = merged.ladders[0].steps;
    expect([first, second, third].map(({ driveDbFs }) => driveDbFs)).toEqual([-20, -10, 0]);
    expect(second).toMatchObject({
      levelDbFs: -29.5,
      levelSigmaDb: expect.closeTo(0.04 / Math.SQRT2, 9),
      thd: expect.closeTo(0.007, 9),
      thdBeforeFilters: 0.02,
      peakDbFs: -20,
    });
    expect(second.harmonics[0]).toBeCloseTo(0.004, 9);
    expect(third.levelSigmaDb).toBeCloseTo(0.04, 9);
    expect(merged.ladders).toHaveLength(1);
  });
});

describe('a ladder through a recorder of its own shape', () => {
  // Half at the tone, twice and the same at its harmonics.
  const recorder = exactResponse({ at: (hz) => ({ real: hz < 1500 ? 0.5 : hz < 2500 ? 1 : 0.5, imag: 0 }) });

  it('has level and harmonics divided by it, peaks left as recorded.', () => {
    const [found] = ladderWithoutRecorder(ladder(step(-10)), recorder).steps;
    expect(found.levelDbFs).toBeCloseTo(-30 + 6.0206, 3);
    expect(found.harmonics[0]).toBeCloseTo(0.0015, 6);
    expect(found.harmonics[1]).toBeCloseTo(0.004, 6);
    expect(found.thd).toBeCloseTo(Math.hypot(0.0015, 0.004), 6);
    // Noise counts at both harmonics: gains of 2 and 1 are the root of 2.5.
    expect(found.thdNoise).toBeCloseTo(0.001 / Math.sqrt(2.5), 7);
    expect(found.peakDbFs).toBe(-27);
  });

  it('is not raised by more than 20 dB where the recorder passes nothing.', () => {
    const deaf = exactResponse({ at: (hz) => ({ real: hz < 1500 ? 0.01 : 1, imag: 0 }) });
    expect(ladderWithoutRecorder(ladder(step(-10)), deaf).steps[0].levelDbFs).toBeCloseTo(-10, 6);
  });
});

describe('a ladder against the sweep', () => {
  const low = exactResponse({ gain: 0.1 });
  const against = (db: number, { noiseDbFs = -90, drives = [-30, -26, -20, -13], tilt = 0 } = {}) =>
    tonesAgainstSweep({
      ladders: [ladder(...drives.map((drive, i) => step(drive, { levelDbFs: drive - 20 + db + tilt * i })))],
      low,
      noiseDbFs,
    });

  it('differs where it is louder or quieter by more than a decibel at every step.', () => {
    expect(against(1.1)).toEqual([{ toneHz: 997, differsDb: expect.closeTo(1.1, 4) }]);
    expect(against(-1.1)).toEqual([{ toneHz: 997, differsDb: expect.closeTo(-1.1, 4) }]);
    expect(against(0.9)).toEqual([]);
  });

  it('is not judged by fewer than four clear steps of little drive, nor where its gain moves.', () => {
    expect(against(3, { drives: [-30, -26, -13, -12] })).toEqual([]);
    expect(against(3, { drives: [-30, -26, -14, -13] })).toHaveLength(1);
    expect(against(3, { tilt: 0.16 })).toHaveLength(1);
    expect(against(3, { tilt: 0.17 })).toEqual([]);
    // The quietest step lies at -47 dBFS: 25 dB over a noise of -72.
    expect(against(3, { noiseDbFs: -72.1 })).toHaveLength(1);
    expect(against(3, { noiseDbFs: -71.9 })).toEqual([]);
    expect(tonesAgainstSweep({ ladders: [ladder(step(-30))], low: null, noiseDbFs: -90 })).toEqual([]);
  });
});

describe('steps of a ladder that were knocked', () => {
  /** Noise of each step as a part of full scale; every tone at one level. */
  const kept = (noise: readonly number[], { noiseAfter = 0.001, stepSeconds = 0.15 } = {}) => {
    const steps = noise.map((value, i) => step(-40 + i, { levelDbFs: 0, thdNoise: value }));
    const {
      knocked,
      disturbed,
      ladder: left,
    } = withoutKnockedSteps(ladder(...steps), { stepSeconds, noiseAfter });
    return { knocked, disturbed, left: left.steps.length };
  };
  const QUIET = [0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001];
  const loudAt = (places: number[], value: number) =>
    QUIET.map((quiet, i) => (places.includes(i) ? value : quiet));

  it('are those with five times the noise of their neighbours.', () => {
    expect(kept(QUIET)).toEqual({ knocked: [], disturbed: [], left: 8 });
    expect(kept(loudAt([3], 0.0051))).toEqual({ knocked: [3], disturbed: [], left: 7 });
    expect(kept(loudAt([3], 0.0049)).knocked).toEqual([]);
    // Noise that rises from one step on is a clip's.
    expect(kept([...QUIET, 0.1, 0.2, 0.3]).knocked).toEqual([]);
  });

  it('are covered by what lasts, with the steps beside it.', () => {
    const voice = kept(loudAt([2, 3, 4, 5], 0.02));
    expect(voice.disturbed).toEqual([[1, 6]]);
    expect(voice.left).toBe(2);
    // The same for a third of the time is no voice.
    expect(kept(loudAt([2, 3, 4, 5], 0.02), { stepSeconds: 0.02 }).disturbed).toEqual([]);
    // Half a percent and less is a codec’s noise.
    expect(kept(loudAt([2, 3, 4, 5], 0.0049)).disturbed).toEqual([]);
  });

  it('after which it goes on are a voice, after which it ends a clip.', () => {
    const end = loudAt([4, 5, 6, 7], 0.02);
    expect(kept(end, { noiseAfter: 0.011 }).disturbed).toEqual([[3, 8]]);
    expect(kept(end, { noiseAfter: 0.009 }).disturbed).toEqual([]);
  });

  it('before which it was on from the start are a voice where it ends at once.', () => {
    expect(kept(loudAt([0, 1, 2, 3], 0.02)).disturbed).toEqual([[-1, 4]]);
    expect(kept([0.02, 0.015, 0.011, 0.008, 0.006, 0.0045, 0.0033, 0.0025, 0.0018]).disturbed).toEqual([]);
  });
});
