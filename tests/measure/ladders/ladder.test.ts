import { expect, test } from 'vitest';
import { clippedSineHarmonic, clippedSineThd } from '../../../src/dsp/clip-distortion.ts';
import { seededRandom } from '../../../src/dsp/random.ts';
import { measureLadder } from '../../../src/measure/ladders/ladder.ts';
import { frequencyResponse } from '../../../src/measure/sweeps/trusted-band.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { magnitudeCurve } from '../../../src/model/response.ts';
import { fullTrack, sectionOf } from '../../../src/tones/track.ts';

const ladder = sectionOf(fullTrack, 'ladder', 'ladder treble')!;
const CLIP_DRIVE_DB_FS = -6;

/** The ladder through a hard clip, by its Fourier series up to half the rate (closed form of the clipped sine). */
function clippedLadder(sampleRateHz: number): Float64Array {
  const samples = new Float64Array(Math.ceil((ladder.durationSeconds + 0.1) * sampleRateHz));
  const stepSamples = (ladder.cyclesPerStep / ladder.toneHz) * sampleRateHz;
  ladder.driveDbFs.forEach((driveDbFs, step) => {
    const amplitude = 10 ** (driveDbFs / 20);
    const ratio = Math.min(1, 10 ** ((CLIP_DRIVE_DB_FS - driveDbFs) / 20));
    const highest = Math.floor((0.49 * sampleRateHz) / ladder.toneHz);
    const harmonics = Array.from({ length: highest }, (_, k) =>
      clippedSineHarmonic({ ratio, harmonic: k + 1 }),
    );
    for (let n = Math.round(step * stepSamples); n < Math.round((step + 1) * stepSamples); n++) {
      const phase = (2 * Math.PI * ladder.toneHz * n) / sampleRateHz;
      harmonics.forEach((harmonic, k) => {
        samples[n] += amplitude * harmonic * Math.sin((k + 1) * phase);
      });
    }
  });
  return samples;
}

test.each([48_000, 96_000, 192_000])(
  'distortion counts up to 20 kHz (AES17), and is that of the closed form, at a recording rate of %d Hz',
  (sampleRateHz) => {
    const { highestHarmonic, steps } = measureLadder({
      ladder,
      samples: Float32Array.from(clippedLadder(sampleRateHz)),
      startFrame: 0,
      sampleRateHz,
      ladderStartSeconds: 0,
      clockPpm: 0,
      curve: magnitudeCurve([]),
    });
    expect(highestHarmonic).toBe(3);
    for (const { driveDbFs, thd } of steps) {
      const ratio = Math.min(1, 10 ** ((CLIP_DRIVE_DB_FS - driveDbFs) / 20));
      expect(Math.abs(thd - clippedSineThd({ ratio, highestHarmonic: 3 }))).toBeLessThan(2e-4);
    }
  },
);

test('the same is read of a section that begins elsewhere in the recording, by a clock that runs otherwise', () => {
  const [sampleRateHz, startFrame, ppm] = [48_000, 4800, 300];
  const read = (of: { startFrame: number; ladderStartSeconds: number; clockPpm: number }) =>
    measureLadder({
      ladder,
      // A recorder whose clock runs fast takes more samples of the same sound.
      samples: Float32Array.from(clippedLadder(sampleRateHz * (1 + of.clockPpm * 1e-6))),
      sampleRateHz,
      curve: magnitudeCurve([]),
      ...of,
    }).steps.map(({ driveDbFs, levelDbFs, peakDbFs }) => [driveDbFs, levelDbFs, peakDbFs]);
  const usual = read({ startFrame: 0, ladderStartSeconds: 0, clockPpm: 0 });
  const later = read({ startFrame, ladderStartSeconds: startFrame / sampleRateHz, clockPpm: 0 });
  expect(later).toEqual(usual);
  const fast = read({ startFrame: 0, ladderStartSeconds: 0, clockPpm: ppm });
  expect(fast).toHaveLength(usual.length);
  fast.forEach(([, levelDbFs, peakDbFs], i) => {
    expect(Math.abs(levelDbFs - usual[i][1])).toBeLessThan(0.005);
    expect(Math.abs(peakDbFs - usual[i][2])).toBeLessThan(0.2);
  });
});

const SLOW = 48_000;
const readWith = (samples: Float64Array, responses: Parameters<typeof magnitudeCurve>[0] = []) =>
  measureLadder({
    ladder,
    samples: Float32Array.from(samples),
    startFrame: 0,
    sampleRateHz: SLOW,
    ladderStartSeconds: 0,
    clockPpm: 0,
    curve: magnitudeCurve(responses),
  }).steps;

test('the same distortion before the tap’s filters is each harmonic over what the tap makes of it against the tone', () => {
  const through = (tone: number, second: number, third: number, upToHz = 20_000) => [
    frequencyResponse({
      real: gridFrequencyHz.map((hz) => (hz > upToHz ? 0 : hz < 9000 ? tone : hz < 15_000 ? second : third)),
      imag: new Float64Array(gridFrequencyHz.length),
      sigma: new Float64Array(gridFrequencyHz.length).fill(1e-6),
    }),
  ];
  const before = (...of: Parameters<typeof through>) => readWith(samples, through(...of)).at(-1)!;
  const samples = clippedLadder(SLOW);
  const { harmonics, thd } = readWith(samples).at(-1)!;
  // Symmetric clipping makes the third alone.
  expect(thd).toBeCloseTo(harmonics[1], 4);
  expect(before(1, 1, 1).thdBeforeFilters).toBeCloseTo(thd, 6);
  expect(before(0.5, 0.5, 0.05).thdBeforeFilters! / thd).toBeCloseTo(10, 1);
  expect(before(0.1, 0.5, 0.5).thdBeforeFilters! / thd).toBeCloseTo(0.2, 2);
  // The tone 30 dB under the rest, no third to be had, or no response at all: not told.
  expect([before(0.032, 1, 1).thdBeforeFilters === null, before(0.0315, 1, 1).thdBeforeFilters]).toEqual([
    false,
    null,
  ]);
  expect(before(1, 1, 1, 17_000).thdBeforeFilters).toBeNull();
  expect(readWith(samples).at(-1)!.thdBeforeFilters).toBeNull();
});

// Least squares of n samples with noise of s: each quadrature of a tone has the variance 2 s^2 / n.
test('noise beside the tone makes its level uncertain, and as much distortion as it has harmonics', () => {
  const random = seededRandom(5);
  const rms = 1e-3;
  const steps = readWith(clippedLadder(SLOW).map((value) => value + rms * random.gaussian()));
  const count = (ladder.cyclesUsed / ladder.toneHz) * SLOW;
  const mean = (of: (step: (typeof steps)[number]) => number) =>
    steps.reduce((sum, step) => sum + of(step), 0) / steps.length;
  const amplitude = ({ levelDbFs }: (typeof steps)[number]) => 10 ** (levelDbFs / 20);
  const expected = Math.sqrt(2 / count) * rms;
  expect(mean((step) => (step.levelSigmaDb / 8.6859) * amplitude(step)) / expected).toBeCloseTo(1, 1);
  expect(mean((step) => step.thdNoise * amplitude(step)) / (2 * expected)).toBeCloseTo(1, 1);
});
