import { describe, expect, test } from 'vitest';
import { filterInPlace, toBiquads } from '../../src/dsp/biquad.ts';
import { prototypeSections } from '../../src/dsp/filter-prototype.ts';
import { findTakes } from '../../src/takes/find-takes.ts';
import { fullTrack, responseTrack } from '../../src/tones/track.ts';
import { memorySound } from '../memory-sound.ts';
import { playedTrack } from '../played-track.ts';

const sampleRateHz = 48_000;
/** A full-scale sine stands 20 dB above white noise of this RMS to 24 kHz. */
const NOISE_20_DB = 0.0707;

function filtered(samples: Float32Array, side: 'low-pass' | 'high-pass', cornerHz: number): Float32Array {
  const work = Float64Array.from(samples);
  filterInPlace(
    work,
    toBiquads(prototypeSections({ family: 'linkwitz-riley', order: 4, side }), { cornerHz, sampleRateHz }),
  );
  return Float32Array.from(work);
}

function startsOf(channels: Float32Array[], rate = sampleRateHz) {
  return findTakes(
    memorySound({ sampleRateHz: rate, channels }),
    channels.map((_, i) => i),
  );
}

function joined(parts: readonly Float32Array[]): Float32Array {
  const all = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

describe('findTakes', () => {
  test.each([
    ['left only', { left: 1, right: 0 }],
    ['right only', { left: 0, right: 1 }],
    ['both', { left: 0.5, right: 0.5 }],
  ])('places the full track where a tap hears %s', (_, weights) => {
    const [take, ...more] = startsOf([
      playedTrack({ track: fullTrack, sampleRateHz, leadSeconds: 2.345, ...weights }),
    ]);
    expect(more).toEqual([]);
    expect(take.track.name).toBe('full');
    expect(take.startSeconds).toBeCloseTo(2.345, 3);
  });

  test('tells the response-only track from the full one', () => {
    const [take] = startsOf([
      playedTrack({ track: responseTrack, sampleRateHz, leadSeconds: 0.8, right: 0 }),
    ]);
    expect(take.track.name).toBe('response only');
    expect(take.startSeconds).toBeCloseTo(0.8, 3);
  });

  test.each([
    ['a subwoofer tap, low-passed at 80 Hz', 'low-pass', 80],
    ['a tweeter tap, high-passed at 8 kHz', 'high-pass', 8000],
  ] as const)('finds the track on %s alone', (_, side, cornerHz) => {
    const plain = playedTrack({ track: fullTrack, sampleRateHz, leadSeconds: 1.2, noiseRms: 7e-4 });
    const [take] = startsOf([filtered(plain, side, cornerHz)]);
    expect(take.track.name).toBe('full');
    expect(Math.abs(take.startSeconds - 1.2)).toBeLessThan(0.02);
  });

  test('finds takes at 20 dB SNR and with clocks 500 ppm apart', () => {
    const [take] = startsOf([
      playedTrack({
        track: fullTrack,
        sampleRateHz,
        leadSeconds: 3,
        noiseRms: NOISE_20_DB,
        clockPpm: 500,
        right: 0,
      }),
    ]);
    expect(Math.abs(take.startSeconds - 3)).toBeLessThan(0.02);
  });

  test('finds several takes in one long file, and leaves out one that was stopped early', () => {
    const one = playedTrack({ track: fullTrack, sampleRateHz: 44_100, leadSeconds: 1 });
    const stopped = one.subarray(0, 25 * 44_100);
    const silence = new Float32Array(130 * 44_100).fill(1e-5);
    const file = joined([one, stopped, silence, one]);
    const takes = startsOf([file], 44_100);
    const secondStart = (one.length + stopped.length + silence.length) / 44_100 + 1;
    expect(takes.map(({ startSeconds }) => Math.round(startSeconds * 1000))).toEqual([
      1000,
      Math.round(secondStart * 1000),
    ]);
  });

  test('listens to a weaker channel for what the strongest does not carry, in every take of a file', () => {
    const heard = (left: number, right: number) =>
      playedTrack({ track: fullTrack, sampleRateHz, leadSeconds: 1, left, right });
    const [left, right, quiet] = [heard(1, 0), heard(0, 0.1), heard(0.01, 0.01)];
    const takes = startsOf([quiet, left, right].map((one) => joined([one, one])));
    expect(takes.map(({ missing }) => missing)).toEqual([[], []]);
    expect(takes[0].startSeconds).toBeCloseTo(1, 3);
    expect(takes[1].startSeconds).toBeCloseTo(left.length / sampleRateHz + 1, 3);
  });

  // However many outputs of one side are louder: six full-range ones, 16 taps, a recorder with 32 inputs.
  test.each([3, 5, 15, 31])('hears the quieter side behind %d louder outputs of the other', (count) => {
    const heard = (left: number, right: number) =>
      playedTrack({ track: responseTrack, sampleRateHz, leadSeconds: 1, left, right });
    const louder = heard(1, 0);
    const quieter = heard(0, 10 ** (-0.3 / 20));
    const takes = startsOf([...Array.from({ length: count }, () => louder), quieter]);
    expect(takes.map(({ missing }) => missing)).toEqual([[]]);
    expect(takes[0].startSeconds).toBeCloseTo(1, 3);
  });

  test('finds nothing in noise, in silence and in steady tones', () => {
    const noise = playedTrack({
      track: fullTrack,
      sampleRateHz,
      leadSeconds: 1,
      left: 0,
      right: 0,
      noiseRms: 0.1,
    });
    const tone = Float32Array.from({ length: 60 * sampleRateHz }, (_, n) =>
      Math.sin((2 * Math.PI * 997 * n) / sampleRateHz),
    );
    expect(startsOf([noise])).toEqual([]);
    expect(startsOf([new Float32Array(50 * sampleRateHz)])).toEqual([]);
    expect(startsOf([tone])).toEqual([]);
  });
});
