import { describe, expect, it } from 'vitest';
import { fitLimiter, lossAt } from '../../../src/findings/bass/limiter-fit.ts';
import type { LadderMeasurement, LadderStep, TapMeasurement } from '../../../src/model/measurement.ts';
import { BASS_TONE_HZ, fullTrack, sectionOf } from '../../../src/tones/track.ts';

const DRIVES = sectionOf(fullTrack, 'ladder', 'ladder bass')!.driveDbFs;
const GAIN_DB = -12;
const TAP = { recorder: { clippedRuns: 0, peakDbFs: -1 } } as TapMeasurement;

/** Level = drive + gain, less a part of each decibel above the threshold. */
function ladder(
  of: {
    thresholdDb?: number;
    part?: number;
    /** A limiter of one band takes no more than this. */
    mostLossDb?: number;
    thd?: (lossDb: number) => Partial<LadderStep>;
    sigmaDb?: number;
    /** A tone beside this one, against it at full scale, decibels, and by how much its phase turns from step to step. */
    hum?: { db: number; radiansAStep: number };
    drives?: readonly number[];
  } = {},
): LadderMeasurement {
  const { thresholdDb = -10, part = 0.5, thd = () => ({}), sigmaDb = 0.002, drives = DRIVES } = of;
  const hum = of.hum === undefined ? 0 : 10 ** (of.hum.db / 20);
  return {
    toneHz: BASS_TONE_HZ,
    highestHarmonic: 10,
    steps: drives.map((driveDbFs, i) => {
      // |1 + h e^(j a)| in decibels.
      const beside = hum / 10 ** (driveDbFs / 20);
      const angle = (of.hum?.radiansAStep ?? 0) * i;
      const humDb = 20 * Math.log10(Math.hypot(1 + beside * Math.cos(angle), beside * Math.sin(angle)));
      const lossDb = Math.min(of.mostLossDb ?? Infinity, part * Math.max(0, driveDbFs - thresholdDb));
      return {
        driveDbFs,
        levelDbFs: driveDbFs + GAIN_DB - lossDb + humDb,
        levelSigmaDb: sigmaDb,
        harmonics: [],
        thd: 0,
        thdBeforeFilters: 0,
        thdNoise: 1e-5,
        peakDbFs: -20,
        ...thd(lossDb),
      };
    }),
  };
}
const fit = (of: Parameters<typeof ladder>[0] = {}) => fitLimiter(TAP, ladder(of));

describe('a tone that stops following its drive', () => {
  it('has its threshold, the level there and what is lost at the highest drive that is used.', () => {
    for (const thresholdDb of [-20, -15.3, -10, -6.05]) {
      const found = fit({ thresholdDb, part: 0.4 })!;
      expect(Math.abs(found.thresholdDriveDbFs - thresholdDb)).toBeLessThan(0.1);
      expect(Math.abs(found.thresholdLevelDbFs - (thresholdDb + GAIN_DB))).toBeLessThan(0.1);
      expect(found.thresholdSigmaDb).toBeGreaterThan(0);
      expect(found.thresholdSigmaDb).toBeLessThan(0.2);
      // The fit ends where 2.5 dB are lost, or with the ladder.
      expect(found.upToDriveDbFs).toBeLessThanOrEqual(Math.min(0, thresholdDb + 2.5 / 0.4) + 0.01);
      expect(found.lossDb).toBeCloseTo(0.4 * (found.upToDriveDbFs - thresholdDb), 1);
    }
    expect(fit({ thresholdDb: -10, part: 0.4 })!.upToDriveDbFs).toBe(-4);
  });

  it('has it where it is beside hum that moves the quiet steps: by 1 dB at -40 dBFS, a tenth of that at -20', () => {
    for (const part of [0.3, 0.5])
      for (const radiansAStep of [1, 2, 2.7]) {
        const hum = { db: -59, radiansAStep };
        const found = fit({ thresholdDb: -19, part, mostLossDb: 1.4, hum })!;
        expect(Math.abs(found.thresholdDriveDbFs + 19)).toBeLessThan(0.6);
        expect(Math.abs(found.thresholdDriveDbFs + 19)).toBeLessThan(2 * found.thresholdSigmaDb);
      }
  });

  it('is told from a decibel of loss on.', () => {
    expect(fit({ thresholdDb: -2.2 })).not.toBeNull();
    expect(fit({ thresholdDb: -1.8 })).toBeNull();
    expect(fit({ part: 0 })).toBeNull();
    expect(fit({ thresholdDb: -10, part: -0.5 })).toBeNull();
  });

  it('and not where noise could make it: each step may be off by 1 dB.', () => {
    expect(fit({ thresholdDb: -4, sigmaDb: 0.2 })).not.toBeNull();
    expect(fit({ thresholdDb: -4, sigmaDb: 1.5 })).toBeNull();
  });

  it('is no limiter where its distortion is a clip’s, or would hide one.', () => {
    expect(fit({ thd: () => ({ thd: 0.01, thdBeforeFilters: 0.01 }) })).not.toBeNull();
    // Fast limiters make up to 1.5 % by themselves, however little they take.
    const distorted = (thd: number) => fit({ thd: () => ({ thd, thdBeforeFilters: thd }) });
    expect([distorted(0.0145) === null, distorted(0.0155)]).toEqual([false, null]);
    // A hard clip that takes 1 dB of the fundamental has some 11 % of harmonics (closed form of the clipped sine).
    expect(fit({ thd: (lossDb) => ({ thd: 0.1 * lossDb, thdBeforeFilters: 0.1 * lossDb }) })).toBeNull();
    expect(fit({ thd: () => ({ thdNoise: 0.1 }) })).toBeNull();
    expect(fit({ thd: () => ({ thdNoise: 0.01 }) })).not.toBeNull();
    // Raised tenfold to what it was before the filters, the same noise hides a clip.
    expect(fit({ thd: () => ({ thd: 0.001, thdBeforeFilters: 0.01, thdNoise: 0.01 }) })).toBeNull();
  });

  it('is judged by the reading that is nearer to a clip’s, where filters change the harmonics.', () => {
    const clipBehind = (lossDb: number) => ({ thd: 0.0002, thdBeforeFilters: 0.1 * lossDb });
    expect(fit({ thd: clipBehind })).toBeNull();
    expect(fit({ thd: (lossDb) => ({ thd: 0.1 * lossDb, thdBeforeFilters: null }) })).toBeNull();
  });

  it('needs six steps.', () => {
    const few = (drives: readonly number[]) => fit({ thresholdDb: -9, part: 0.3, drives });
    expect(few([-40, -34, -28, -20, -10, -6, -3])).not.toBeNull();
    expect(few([-40, -28, -10, -6, -3])).toBeNull();
  });

  it('needs steps of -26 dBFS and below to follow from.', () => {
    const from = (quietest: number) =>
      fit({ thresholdDb: -9, part: 0.3, drives: [quietest, -20, -18, -16, -14, -12, -10, -6, -3] });
    expect([from(-26) === null, from(-25)]).toEqual([false, null]);
  });

  it('that bends more and more is read where it begins.', () => {
    // A limiter of one band: half of each decibel for the first two, less beyond.
    const bent = ladder({ thresholdDb: -14, part: 0.5 });
    const steps = bent.steps.map((step) => {
      const lossDb = 0.5 * Math.max(0, step.driveDbFs + 14);
      return { ...step, levelDbFs: step.driveDbFs + GAIN_DB - Math.min(lossDb, 1 + 0.15 * lossDb) };
    });
    const found = fitLimiter(TAP, { ...bent, steps })!;
    expect(Math.abs(found.thresholdDriveDbFs + 14)).toBeLessThan(0.5);
  });

  it('loses at a drive the mean of the steps within 1 dB of it.', () => {
    const of = ladder({ thresholdDb: -10, part: 0.5 });
    expect(lossAt(TAP, of, -6)).toBeCloseTo(2, 6);
    expect(lossAt(TAP, of, -20)).toBeCloseTo(0, 6);
    expect(lossAt(TAP, of, 0)).toBeCloseTo((0.5 * (10 + 9.5 + 9)) / 3, 6);
    expect(lossAt(TAP, of, 3)).toBeNull();
    expect(lossAt(TAP, ladder({ drives: [-20, -10] }), -10)).toBeNull();
  });
});
