import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../src/dsp/random.ts';
import { measureNoise } from '../../../src/measure/disturbances/noise.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { exactResponse } from '../exact-response.ts';

const RATE = 48_000;
const COUNT = 2 ** 16;

function white(seed: number, rms: number, tonesHz: readonly number[] = []): Float32Array {
  const random = seededRandom(seed);
  return Float32Array.from({ length: COUNT }, (_, n) =>
    tonesHz.reduce(
      (sum, hz) => sum + 1e-3 * Math.sin((2 * Math.PI * hz * n) / RATE),
      rms * random.gaussian(),
    ),
  );
}
const measured = (of: Partial<Parameters<typeof measureNoise>[0]>) =>
  measureNoise({
    underQuietTone: white(1, 1e-4),
    inSilence: white(2, 1e-5),
    tonesHz: [],
    sampleRateHz: RATE,
    left: exactResponse({ gain: 1e-9 }),
    right: exactResponse({ gain: 1e-9 }),
    recorderDbFs: -110,
    ...of,
  });
/** RMS of 1e-4 against a full-scale sine's 0.7071, and the share of 24 kHz that lies between 20 Hz and 20 kHz. */
const LEVEL = 20 * Math.log10(1e-4 * Math.SQRT2) + 10 * Math.log10(19_980 / 24_000);

describe('noise under the quiet tone and in silence', () => {
  it('is white noise’s own level in the band, each from its own section.', () => {
    const noise = measured({});
    expect(Math.abs(noise.underQuietToneDbFs - LEVEL)).toBeLessThan(0.1);
    expect(Math.abs(noise.inSilenceDbFs - (LEVEL - 20))).toBeLessThan(0.1);
    expect(noise.recorderDbFs).toBe(-110);
    expect(noise.lines).toEqual([]);
  });

  it('is A-weighted by IEC 61672-1: white noise of 20 Hz to 20 kHz loses 1.5 to 2.5 dB (2.0 dB, from memory).', () => {
    const noise = measured({});
    const lossDb = noise.underQuietToneDbFs - noise.underQuietToneADbFs;
    expect(lossDb).toBeGreaterThan(1.5);
    expect(lossDb).toBeLessThan(2.5);
  });

  it('has the track’s tones taken out, and other lines told.', () => {
    const noise = measured({
      underQuietTone: white(1, 1e-4, [55, 997, 6007, 3000]),
      tonesHz: [55, 997, 6007],
    });
    expect(noise.lines.map(({ frequencyHz }) => Math.round(frequencyHz))).toEqual([3000]);
    expect(noise.lines[0].levelDbFs).toBeCloseTo(-60, 1);
  });

  it('lets a tone of the track take no noise with it, on either side, whatever hum lies beside.', () => {
    const quiet = measured({}).underQuietToneDbFs;
    const tones = [55, 997, 6007];
    const without = measured({ underQuietTone: white(1, 1e-4, tones), tonesHz: tones });
    expect(Math.abs(without.underQuietToneDbFs - quiet)).toBeLessThan(0.05);
    // A tone of 1e-3 that is not taken out stands 17 dB over all of the noise.
    expect(measured({ underQuietTone: white(1, 1e-4, [997]) }).underQuietToneDbFs).toBeGreaterThan(
      quiet + 15,
    );
    const beside = (hz: number) =>
      measured({ underQuietTone: white(1, 1e-4, [997, hz]), tonesHz: [997] }).lines.map(({ frequencyHz }) =>
        Math.round(frequencyHz),
      );
    expect([beside(985), beside(1009)]).toEqual([[985], [1009]]);
  });

  it('counts from 20 Hz to 20 kHz, and tells lines from there to there.', () => {
    const heard = (hz: number) => measured({ underQuietTone: white(1, 1e-4, [hz]) });
    for (const hz of [15, 20_200]) {
      expect(heard(hz).lines).toEqual([]);
      expect(Math.abs(heard(hz).underQuietToneDbFs - LEVEL)).toBeLessThan(0.1);
    }
    for (const hz of [30, 19_900])
      expect(heard(hz).lines).toEqual([
        { frequencyHz: expect.closeTo(hz, 0), levelDbFs: expect.closeTo(-60, 1) },
      ]);
  });

  it('has the dither of a treble tap taken off where its treble is: 10 kHz to 20 kHz of 22.05 kHz.', () => {
    const power = (of: Partial<Parameters<typeof measureNoise>[0]>) =>
      0.5 * 10 ** (measured(of).underQuietToneDbFs / 10);
    const flat = exactResponse({ gain: 1 });
    const treble = { ...flat, real: flat.real.map((real, i) => (gridFrequencyHz[i] < 10_000 ? 0 : real)) };
    const taken = power({}) - power({ left: treble, right: exactResponse({ gain: 0 }) });
    expect(taken / ((2 ** -32 * 10_000) / 22_050)).toBeCloseTo(1, 1);
  });

  it('has the track’s dither taken off: LSB squared over four of 16 bits, spread to 22.05 kHz, of each side through its gain.', () => {
    const power = (of: Partial<Parameters<typeof measureNoise>[0]>) =>
      0.5 * 10 ** (measured(of).underQuietToneDbFs / 10);
    const ofOneSide = (2 ** -32 * 19_980) / 22_050;
    const taken = (left: number, right: number) =>
      (power({}) - power({ left: exactResponse({ gain: left }), right: exactResponse({ gain: right }) })) /
      ofOneSide;
    expect(taken(1, 1)).toBeCloseTo(2, 1);
    expect(taken(2, 0)).toBeCloseTo(4, 1);
    expect(taken(0, 3)).toBeCloseTo(9, 1);
  });
});
