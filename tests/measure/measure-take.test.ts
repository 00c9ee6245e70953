import { describe, expect, test } from 'vitest';
import { measureTake } from '../../src/measure/measure-take.ts';
import { takeReader } from '../../src/measure/take-reader.ts';
import { gridFrequencyHz, gridPosition } from '../../src/model/frequency-grid.ts';
import { magnitudeDb } from '../../src/model/response.ts';
import { findTakes } from '../../src/takes/find-takes.ts';
import { fullTrack } from '../../src/tones/track.ts';
import { memorySound } from '../memory-sound.ts';
import { playedTrack } from '../played-track.ts';

const sampleRateHz = 48_000;
const NOISE_60_DB = 7.07e-4;

function measured(
  ...parts: Omit<Parameters<typeof playedTrack>[0], 'track' | 'sampleRateHz' | 'leadSeconds'>[]
) {
  const channels = parts.map((part, i) =>
    playedTrack({ track: fullTrack, sampleRateHz, leadSeconds: 1.3, seed: i + 1, ...part }),
  );
  const sound = memorySound({ sampleRateHz, channels });
  const all = channels.map((_, i) => i);
  const [take] = findTakes(sound, all);
  return measureTake(takeReader({ sound, take, channels: all }), { recorderFloorDbFs: all.map(() => null) });
}

/** Mean delay of one response against another, 1 to 8 kHz. */
function delaySeconds(
  late: { real: Float64Array; imag: Float64Array },
  early: { real: Float64Array; imag: Float64Array },
) {
  let sum = 0;
  let count = 0;
  gridFrequencyHz.forEach((hz, i) => {
    if (hz < 1000 || hz > 8000) return;
    const cross = late.imag[i] * early.real[i] - late.real[i] * early.imag[i];
    const along = late.real[i] * early.real[i] + late.imag[i] * early.imag[i];
    sum -= Math.atan2(cross, along) / (2 * Math.PI * hz);
    count++;
  });
  return sum / count;
}

describe('measureTake', () => {
  const { clock, channels } = measured(
    { left: 0.5, right: 0, noiseRms: NOISE_60_DB, clockPpm: 83 },
    { left: 0, right: -0.25, noiseRms: NOISE_60_DB, clockPpm: 83, delaySeconds: 47e-6 },
  );

  test('finds the clock within 0.3 ppm and says how well', () => {
    expect(Math.abs(clock!.ppm - 83)).toBeLessThan(0.05);
    expect(Math.abs(clock!.ppm - 83)).toBeLessThan(2 * clock!.plusMinusPpm);
    expect(clock!.plusMinusPpm).toBeLessThan(0.1);
  });

  test('reads levels within 0.1 dB of 12 dB below full scale and keeps the sides apart', () => {
    for (const hz of [30, 100, 1000, 10_000]) {
      const at = Math.round(gridPosition(hz));
      expect(Math.abs(magnitudeDb(channels[0].left)[at] - 20 * Math.log10(0.5))).toBeLessThan(0.1);
      expect(Math.abs(magnitudeDb(channels[1].right)[at] - 20 * Math.log10(0.25))).toBeLessThan(0.1);
    }
    expect(channels[0].right.trustedHz).toBeNull();
    expect(channels[0].left.trustedHz![0]).toBeLessThan(15);
    expect(channels[0].left.trustedHz![1]).toBeGreaterThan(19_000);
  });

  test('reads delay between left and right, swept 6.7 s apart, within 3 microseconds, and polarity', () => {
    const inverted = {
      real: channels[1].right.real.map((v) => -v),
      imag: channels[1].right.imag.map((v) => -v),
    };
    expect(Math.abs(delaySeconds(inverted, channels[0].left) - 47e-6)).toBeLessThan(3e-6);
  });

  test('finds no distortion where there is none, down to what noise allows', () => {
    for (const ladder of channels[0].ladders)
      for (const step of ladder.steps) expect(step.thd).toBeLessThan(4 * step.thdNoise + 1e-5);
  });

  test('reads the noise that was added', () => {
    // White noise of RMS sigma to 24 kHz; 20 kHz of it are counted; dBFS of a full-scale sine is +3.01 dB.
    const expectedDbFs = 20 * Math.log10(NOISE_60_DB) + 10 * Math.log10(20 / 24) + 3.0103;
    expect(Math.abs(channels[0].noise!.underQuietToneDbFs - expectedDbFs)).toBeLessThan(0.3);
    expect(Math.abs(channels[0].noise!.inSilenceDbFs - expectedDbFs)).toBeLessThan(0.3);
    expect(channels[0].noise!.lines).toEqual([]);
  });
});

test('distortion of a clipped ladder follows the closed form, and so does the recorder peak', () => {
  const clip = 0.5;
  const { channels } = measured({ left: 0.4, right: 0.4, shape: (v) => Math.max(-clip, Math.min(clip, v)) });
  const bass = channels[0].ladders[0];
  const top = bass.steps.at(-1)!;
  // Hard-clipped sine, Fourier integrals: a 0.8 sine clipped at 0.5 is r = 0.625; harmonics 2 to 10 as measured.
  const r = clip / 0.8;
  const theta = Math.asin(r);
  const b1 = (2 / Math.PI) * (theta + r * Math.sqrt(1 - r * r));
  const bk = (k: number) =>
    (4 / Math.PI) *
    (Math.sin((k - 1) * theta) / (2 * (k - 1)) -
      Math.sin((k + 1) * theta) / (2 * (k + 1)) +
      (r * Math.cos(k * theta)) / k);
  expect(top.thd).toBeCloseTo(Math.hypot(bk(3), bk(5), bk(7), bk(9)) / b1, 4);
  expect(top.levelDbFs).toBeCloseTo(20 * Math.log10(0.8 * b1), 3);
  expect(top.peakDbFs).toBeCloseTo(20 * Math.log10(0.5), 3);
  expect(bass.steps.find(({ driveDbFs }) => driveDbFs === -6)!.thd).toBeLessThan(1e-5);
});

test('scaling a recording by g moves every level by 20 log10 g and nothing else', () => {
  const [one] = measured({ left: 0.4, right: 0, noiseRms: 1e-4 }).channels;
  const [half] = measured({ left: 0.2, right: 0, noiseRms: 0.5e-4 }).channels;
  const at = Math.round(gridPosition(1000));
  expect(magnitudeDb(one.left)[at] - magnitudeDb(half.left)[at]).toBeCloseTo(6.0206, 3);
  expect(one.ladders[1].steps[20].levelDbFs - half.ladders[1].steps[20].levelDbFs).toBeCloseTo(6.0206, 3);
  expect(one.ladders[1].steps[20].thd).toBeCloseTo(half.ladders[1].steps[20].thd, 6);
});
