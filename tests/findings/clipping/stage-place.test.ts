import { describe, expect, it } from 'vitest';
import {
  firstDistorted,
  hardClipThd,
  onsetBetweenSteps,
} from '../../../src/findings/clipping/clip-between-steps.ts';
import { meanGain, quietGain, recordedSteps } from '../../../src/findings/clipping/ladder.ts';
import { recorderCeilingDoubts } from '../../../src/findings/clipping/recorder-ceiling.ts';
import { findRecorderClipping } from '../../../src/findings/clipping/recorder-clipping.ts';
import { stagePlace } from '../../../src/findings/clipping/stage-place.ts';
import { clipSeenUpToDbFs, showsClipping } from '../../../src/findings/clipping/visible-clip.ts';
import { type TapSeries, tapSeries } from '../../../src/findings/tap-series.ts';
import type { Finding } from '../../../src/model/finding.ts';
import type { LadderMeasurement, LadderStep, TapMeasurement } from '../../../src/model/measurement.ts';
import { measurementsOf, sessionOf, tapOf } from '../synthetic.ts';

describe('where a stage sits', () => {
  const place = (...points: [drive: number, level: number, sigma?: number][]) =>
    stagePlace(
      points.map(([driveDbFs, levelDbFs, sigmaDb = 0.01], i) => ({
        setting: i,
        driveDbFs,
        levelDbFs,
        sigmaDb,
      })),
    );
  const [AFTER, BEFORE, UNTOLD] = ['after the volume control', 'before the volume control', 'cannot be told'];

  it('is behind the volume control where it is met at one level, before it at one drive.', () => {
    expect(place([0, -10], [-4, -10])).toBe(AFTER);
    expect(place([-3, -10], [-3, -6])).toBe(BEFORE);
    expect(place([0, -10], [-4, -10.5])).toBe(AFTER);
    expect(place([0, -10], [-4, -10.7])).toBe(UNTOLD);
    expect(place([-3, -10], [-3.5, -6])).toBe(BEFORE);
    expect(place([-3, -10], [-3.7, -6])).toBe(UNTOLD);
  });

  it('takes two settings that differ by 1.5 dB of gain, beyond their noise.', () => {
    expect(place([0, -10])).toBe(UNTOLD);
    expect(place([0, -10], [-1.4, -10])).toBe(UNTOLD);
    expect(place([0, -10], [-1.6, -10])).toBe(AFTER);
    // 0.2 dB of noise is 3 sqrt(2) 0.2 = 0.85 dB: 1.5 + 0.85 of gain are needed, and 0.8 dB of level still count as one.
    expect(place([0, -10, 0.2], [-2.3, -10])).toBe(UNTOLD);
    expect(place([0, -10, 0.2], [-3.4, -10.8])).toBe(AFTER);
  });
});

const step = (driveDbFs: number, part: Partial<LadderStep> = {}): LadderStep => ({
  driveDbFs,
  levelDbFs: driveDbFs - 20,
  levelSigmaDb: 0.01,
  harmonics: Array.from({ length: 9 }, () => 0),
  thd: 0,
  thdBeforeFilters: null,
  thdNoise: 1e-5,
  peakDbFs: driveDbFs - 20,
  ...part,
});
const ladder = (steps: readonly LadderStep[]): LadderMeasurement => ({
  toneHz: 997,
  highestHarmonic: 10,
  steps,
});

describe('a ladder', () => {
  it('has its quiet gain from the steps up to -26 dBFS, each by its certainty.', () => {
    const gain = quietGain([
      step(-30, { levelDbFs: -50.2, levelSigmaDb: 0.1 }),
      step(-26, { levelDbFs: -46.5, levelSigmaDb: 0.2 }),
      step(-24),
    ]);
    // Weights 4 to 1 (closed form; 0.003 dB of wander aside): -20.2 and -20.5 are -20.26; 1 / sqrt(100 + 25).
    expect(gain?.value).toBeCloseTo(-20.26, 3);
    expect(gain?.sigma).toBeCloseTo(1 / Math.sqrt(125), 3);
    expect(quietGain([step(-24)])).toBeNull();
    expect(meanGain([])).toBeNull();
    expect(meanGain([step(-6, { levelSigmaDb: 0 })])?.sigma).toBeCloseTo(0.003, 9);
  });

  it('ends at the first step that the recorder itself clipped.', () => {
    const steps = [step(-20), step(-10), step(-5), step(0)];
    const recorded = (peakDbFs: number, clippedRuns: number) =>
      recordedSteps(ladder(steps), { recorder: { peakDbFs, clippedRuns } } as TapMeasurement).length;
    expect(recorded(-25, 3)).toBe(2);
    expect(recorded(-24.99, 3)).toBe(2);
    expect(recorded(-24.97, 3)).toBe(3);
    expect(recorded(-25, 0)).toBe(4);
    expect(recorded(0, 3)).toBe(4);
  });

  it('shows a clip by a harmonic out of its noise or by level lost.', () => {
    const gain = { value: -20, sigma: 0 };
    const shows = (part: Partial<LadderStep>) =>
      showsClipping(step(0, { levelSigmaDb: 0.001, ...part }), gain);
    expect(shows({})).toBe(false);
    // 0.02 dB and four standard deviations of 0.001.
    expect(shows({ levelDbFs: -20.023 })).toBe(false);
    expect(shows({ levelDbFs: -20.025 })).toBe(true);
    const third = (value: number, thdNoise = 0) =>
      shows({ harmonics: [0, value, 0, 0, 0, 0, 0, 0, 0], thdNoise });
    expect(third(4.9e-4)).toBe(false);
    expect(third(5.1e-4)).toBe(true);
    // Noise of 3e-4 over nine harmonics is 1e-4 in each: 3.5 of it are added.
    expect(third(8.4e-4, 3e-4)).toBe(false);
    expect(third(8.6e-4, 3e-4)).toBe(true);
  });

  it('would surely have shown a clip at its loudest drive without noise, and less with it.', () => {
    const seen = (part: Partial<LadderStep>, thirdGain = 1, sigma = 0) =>
      clipSeenUpToDbFs({
        loudest: step(0, { levelSigmaDb: 0, thdNoise: 0, ...part }),
        quietGain: { value: -20, sigma },
        thirdGain,
        highestHarmonic: 10,
      });
    expect(seen({})).toBe(0);
    const noisy = seen({ levelSigmaDb: 0.1, thdNoise: 0.1 });
    expect(noisy).toBeLessThan(-0.5);
    expect(noisy).toBeGreaterThan(-6);
    // A third harmonic that the tap takes away leaves the level alone to tell; either of the two noises hides less.
    expect(seen({ thdNoise: 0, levelSigmaDb: 0.1 })).toBe(0);
    expect(seen({ levelSigmaDb: 0.1 }, 1e-4)).toBeLessThan(-0.3);
    expect(seen({ levelSigmaDb: 0 }, 1e-4, 0.1)).toBeLessThan(-0.3);
    expect(seen({ levelSigmaDb: 50, thdNoise: 50 })).toBeCloseTo(-11.7, 0);
  });
});

describe('an onset between two steps', () => {
  const distorted = (driveDbFs: number, thd: number, part: Partial<LadderStep> = {}) =>
    step(driveDbFs, { thd, ...part });
  const onset = (...steps: LadderStep[]) =>
    onsetBetweenSteps({ steps, quietGainDb: -20, ladder: ladder(steps) });

  it('lies on the line between the steps below and above 1 %: 0.4 to 1.2 % is three quarters of the way.', () => {
    expect(
      onset(distorted(-6, 0.001), distorted(-4, 0.004), distorted(-2, 0.012), distorted(0, 0.05)),
    ).toEqual({
      driveDbFs: expect.closeTo(-2.5, 9),
      driveSigmaDb: expect.closeTo(0.84, 9),
      levelDbFs: expect.closeTo(-22.5, 9),
      clipPointLevelDbFs: null,
      distortion: 'as recorded',
    });
  });

  it('is none where distortion falls again, begins at the first step, never comes, or is noise.', () => {
    expect(onset(distorted(-4, 0.004), distorted(-2, 0.012), distorted(0, 0.008))).toBeNull();
    expect(onset(distorted(-4, 0.02), distorted(-2, 0.03))).toBeNull();
    expect(onset(distorted(-4, 0.002), distorted(-2, 0.009))).toBeNull();
    expect(onset(distorted(-4, 0.002), distorted(-2, 0.02, { thdNoise: 0.0101 }))).toBeNull();
    expect(onset(distorted(-4, 0.002), distorted(-2, 0.02, { thdNoise: 0.0099 }))).not.toBeNull();
    expect(firstDistorted([distorted(-4, 0.002), distorted(-2, 0.01)])?.driveDbFs).toBe(-2);
    expect(firstDistorted([distorted(-4, 0.002)])).toBeNull();
  });

  it('is none where level goes without a third of a clip’s distortion: that is a limiter.', () => {
    // A hard clip that takes 1 dB off the fundamental distorts by about 12 %.
    expect(hardClipThd(1, 10)).toBeGreaterThan(0.08);
    const lost = (lossDb: number, thd: number) =>
      onset(distorted(-4, 0.002), distorted(0, thd, { levelDbFs: -20 - lossDb }));
    expect(lost(1, 0.02)).toBeNull();
    expect(lost(0.4, 0.015)).not.toBeNull();
    expect(lost(1, 0.1)).not.toBeNull();
  });
});

describe('a recorder that clips', () => {
  const radio = (clipDbFs: (setting: number) => number, level = 0) => {
    const measurements = measurementsOf({
      radio: {
        gainDb: (setting) => setting - 30 + level,
        snrDb: 80,
        clip: { driveDbFs: clipDbFs, beforeFilters: false },
      },
      settings: [20, 24, 28],
    });
    return tapSeries({ session: sessionOf([tapOf()]), measurements });
  };
  const doubts = (series: readonly TapSeries[], findings: object[] = []) =>
    recorderCeilingDoubts(findings as Finding[], series).map(({ kind, settings, tapIds }) => ({
      kind,
      settings,
      tapIds,
    }));
  const doubted = [{ kind: 'limit', settings: null, tapIds: ['front-left'] }];

  it('may be what clips where every clip lies at one level within 6 dB of full scale, and no rail says otherwise.', () => {
    // The clip lies at -4 dBFS in the recording at each setting.
    const one = radio((setting) => 26 - setting);
    expect(doubts(one)).toEqual(doubted);
    expect(doubts(one, [{ kind: 'rail', verdict: 'as the supply allows' }])).toEqual([]);
    expect(doubts(one, [{ kind: 'rail', verdict: 'half of it' }])).toEqual(doubted);
    expect(doubts(radio((setting) => 26 - setting, -3))).toEqual([]);
    // At one drive: before the volume control, 4 dB apart.
    expect(doubts(radio(() => -4))).toEqual([]);
    expect(doubts([])).toEqual([]);
  });

  it('is named with the settings at which it did.', () => {
    const [series] = radio(() => 10);
    expect(findRecorderClipping(series)).toBeNull();
    const takes = series.takes.map((take) =>
      take.setting === 20
        ? take
        : {
            ...take,
            measurement: { ...take.measurement, recorder: { ...take.measurement.recorder, clippedRuns: 2 } },
          },
    );
    expect(findRecorderClipping({ ...series, takes })).toMatchObject({
      kind: 'recorder-clipping',
      settings: [24, 28],
    });
  });
});
