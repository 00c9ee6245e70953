import { describe, expect, it } from 'vitest';
import { withoutKnockedSteps } from '../../../src/measure/ladders/knocked-steps.ts';
import { tonesAgainstSweep } from '../../../src/measure/ladders/tone-against-sweep.ts';
import type { LadderMeasurement } from '../../../src/model/measurement.ts';
import { exactResponse } from '../exact-response.ts';

const STEP_SECONDS = 0.145;

/** Steps of one level whose noise, against the tone, is given. */
function ladderOf(noise: readonly number[], levelDbFs: (i: number) => number = () => -20): LadderMeasurement {
  return {
    toneHz: 55,
    highestHarmonic: 10,
    steps: noise.map((thdNoise, i) => ({
      driveDbFs: i - 40,
      levelDbFs: levelDbFs(i),
      levelSigmaDb: 0,
      harmonics: [],
      thd: 0,
      thdBeforeFilters: 0,
      thdNoise,
      peakDbFs: -20,
    })),
  };
}
const kept = (noise: readonly number[], noiseAfter = 0, stepSeconds = STEP_SECONDS) => {
  const { ladder, knocked, disturbed } = withoutKnockedSteps(ladderOf(noise), { stepSeconds, noiseAfter });
  return { left: ladder.steps.map(({ driveDbFs }) => driveDbFs + 40), knocked, disturbed };
};
const run = (from: number, to: number, loud: number, count = 12, quiet = 0.001) =>
  Array.from({ length: count }, (_, i) => (i >= from && i < to ? loud : quiet));
const all = (count = 12) => Array.from({ length: count }, (_, i) => i);

describe('steps of a ladder', () => {
  it('are knocked where one has more than five times the noise of both sides.', () => {
    expect(kept(run(5, 6, 0.0051))).toEqual({
      left: all().filter((i) => i !== 5),
      knocked: [5],
      disturbed: [],
    });
    expect(kept(run(5, 6, 0.0049)).knocked).toEqual([]);
    // Noise that rises from one step on is a clip.
    expect(kept(run(5, 12, 0.004)).knocked).toEqual([]);
    expect(kept([0.001, 0.001, 0.001, 0.001, 0.0049, 0.00099, 0.00099, 0.00099]).knocked).toEqual([]);
  });

  it('are counted by amplitude, not against their own tone: a quiet step is no knock.', () => {
    const ladder = ladderOf(run(5, 6, 0.006), (i) => (i === 5 ? -22 : -20));
    expect(withoutKnockedSteps(ladder, { stepSeconds: STEP_SECONDS, noiseAfter: 0 }).knocked).toEqual([]);
    const loud = ladderOf(run(5, 6, 0.0045), (i) => (i === 5 ? -18 : -20));
    expect(withoutKnockedSteps(loud, { stepSeconds: STEP_SECONDS, noiseAfter: 0 }).knocked).toEqual([5]);
  });

  it('cannot be told to be knocked at either end, and next to it by what there is.', () => {
    expect(kept(run(0, 1, 0.1)).knocked).toEqual([]);
    expect(kept(run(11, 12, 0.1)).knocked).toEqual([]);
    expect(kept(run(1, 2, 0.1)).knocked).toEqual([1]);
    expect(kept(run(10, 11, 0.1)).knocked).toEqual([10]);
  });

  it('are covered where it lasts longer than 0.3 s, with one more on each side.', () => {
    expect(kept(run(4, 7, 0.1))).toEqual({
      left: [0, 1, 2, 8, 9, 10, 11],
      knocked: [],
      disturbed: [[3, 7]],
    });
    expect(kept(run(4, 6, 0.1)).disturbed).toEqual([]);
    expect(kept(run(4, 6, 0.1), 0, 0.151).disturbed).toEqual([[3, 6]]);
  });

  it('are covered only by what is heard beside the tone: a codec’s 0.5 % is none.', () => {
    expect(kept(run(4, 7, 0.0051, 12, 0.0001)).disturbed).toHaveLength(1);
    expect(kept(run(4, 7, 0.0049, 12, 0.0001)).disturbed).toEqual([]);
    expect(kept(run(4, 7, 0.024, 12, 0.005)).disturbed).toEqual([]);
    expect(kept(run(4, 7, 0.026, 12, 0.005)).disturbed).toHaveLength(1);
  });

  it('are one run over a pause of 0.3 s.', () => {
    const words = (pause: number) =>
      all(16).map((i) => (i === 3 || i === 4 || i === 5 + pause || i === 6 + pause ? 0.1 : 0.001));
    expect(kept(words(2)).disturbed).toEqual([[2, 9]]);
    expect(kept(words(3)).disturbed).toEqual([]);
  });

  it('from the first on are covered where it ends at once, and not where a gain fades.', () => {
    expect(kept(run(0, 4, 0.1)).disturbed).toEqual([[-1, 4]]);
    const fading = (part: number) => kept(all().map((i) => 0.1 * part ** i)).disturbed;
    // Two steps of 0.6 are 2.8, two of 0.55 are 3.3: at once is three.
    expect(fading(0.6)).toEqual([]);
    expect(fading(0.55)).toHaveLength(1);
  });

  it('up to the last are covered where it goes on behind it: at half of it and more. What ends with the tone is a clip.', () => {
    // Noise of 10 % of a tone at -20 dBFS is 0.01.
    expect(kept(run(8, 12, 0.1), 0.0051).disturbed).toEqual([[7, 12]]);
    expect(kept(run(8, 12, 0.1), 0.0049).disturbed).toEqual([]);
  });
});

describe('tones that do not follow the sweep', () => {
  const low = exactResponse({ gain: 0.5 });
  const SIX = 20 * Math.log10(0.5);
  const differs = (
    levels: readonly number[],
    of: { drive?: number; noiseDbFs?: number | null; low?: null } = {},
  ) =>
    tonesAgainstSweep({
      ladders: [
        {
          toneHz: 997,
          highestHarmonic: 10,
          steps: ladderOf(levels.map(() => 0)).steps.map((step, i) => ({
            ...step,
            driveDbFs: (of.drive ?? -30) + i,
            levelDbFs: (of.drive ?? -30) + i + SIX + levels[i],
          })),
        },
      ],
      low: of.low === null ? null : low,
      noiseDbFs: of.noiseDbFs === undefined ? -90 : of.noiseDbFs,
    });

  it('differ by more than 1 dB at every step alike.', () => {
    expect(differs([1.1, 1.1, 1.1, 1.1])).toEqual([{ toneHz: 997, differsDb: expect.closeTo(1.1, 3) }]);
    expect(differs([-1.1, -1.1, -1.1, -1.1])[0].differsDb).toBeCloseTo(-1.1, 3);
    expect(differs([0.9, 0.9, 0.9, 0.9])).toEqual([]);
    expect(differs([2, 1.7, 1.8, 1.6])[0].differsDb).toBeCloseTo(1.8, 3);
    expect(differs([2, 1.4, 1.8, 1.6])).toEqual([]);
  });

  it('are read at four steps at least, up to -13 dBFS, 25 dB over the noise.', () => {
    expect(differs([2, 2, 2])).toEqual([]);
    expect(differs([2, 2, 2, 2], { drive: -16 })).toHaveLength(1);
    expect(differs([2, 2, 2, 2], { drive: -15 })).toEqual([]);
    // -30 dBFS of drive reads -36 + 2 dBFS.
    expect(differs([2, 2, 2, 2], { noiseDbFs: -59.1 })).toHaveLength(1);
    expect(differs([2, 2, 2, 2], { noiseDbFs: -58.9 })).toEqual([]);
    expect(differs([2, 2, 2, 2], { noiseDbFs: null })).toEqual([]);
    expect(differs([2, 2, 2, 2], { low: null })).toEqual([]);
  });
});
