import { expect, test } from 'vitest';
import { exampleScenario } from '../../src/simulate/examples.ts';
import type { Scenario } from '../../src/simulate/scenario.ts';
import { trueRecordedResponse, trueSum } from '../../src/simulate/true-response.ts';
import { distanceFromTrack, EXACT_RECORDER, firstRecording, scenario } from './exact-scenario.ts';
import { rms, toneAmplitude } from './tone.ts';

/**
 * Dither and rounding of the track reach 1.5 steps of 2^-15 on the samples and a little more between them; against the
 * sweep at -18 dBFS.
 */
const DITHER = (2 * 2 ** -15) / 10 ** (-18 / 20);

test("a tap that does nothing records the track itself, to the track's own 16 bits", () => {
  const { channels } = firstRecording(scenario());
  expect(distanceFromTrack(channels[0], { ppm: 0, delaySeconds: 0, gain: 0.5 })).toBeLessThan(DITHER);
});

test('a fast recorder clock, a delay and an inversion put the track where the closed form says', () => {
  const { channels } = firstRecording(
    scenario({ recorder: { clockPpm: 180 } }, { delayMicroseconds: 412.3, inverted: true }),
  );
  expect(distanceFromTrack(channels[0], { ppm: 180, delaySeconds: 412.3e-6, gain: -0.5 })).toBeLessThan(
    DITHER,
  );
  // The measure is sharp: without the delay in it nothing fits.
  expect(distanceFromTrack(channels[0], { ppm: 180, delaySeconds: 300e-6, gain: -0.5 })).toBeGreaterThan(0.1);
});

test('noise stands at the stated distance from a full-scale sine, in 24 kHz of a recorder that takes 48', () => {
  const sampleRateHz = 96_000;
  const noisy = scenario({ recorder: { sampleRateHz, startSeconds: [2, 2] } }, { noise: { snrDb: 40 } });
  const total = rms(firstRecording(noisy).channels[0], 0, 1.8 * sampleRateHz);
  // Tap at 0.5 of the file's full scale (RMS 0.5 / sqrt 2 in samples), noise 40 dB below, twice its power in twice the band.
  expect(20 * Math.log10(total / Math.SQRT2 / (0.5 * Math.SQRT1_2))).toBeCloseTo(-40, 1);
});

test('lines stand at their volts and frequency, harmonics at halves and thirds', () => {
  const humming = scenario(
    { recorder: { startSeconds: [2, 2] } },
    { lines: [{ frequencyHz: 50, voltsRms: 0.01, harmonics: 3 }] },
  );
  const { channels } = firstRecording(humming);
  const level = (frequencyHz: number) =>
    toneAmplitude(channels[0], { frequencyHz, sampleRateHz: 48_000, start: 0, cycles: frequencyHz })
      .magnitude;
  expect(level(50)).toBeCloseTo(0.01, 5);
  expect(level(100)).toBeCloseTo(0.005, 5);
  expect(level(150)).toBeCloseTo(0.01 / 3, 5);
  expect(level(200)).toBeLessThan(1e-6);
});

test('one leg reads half of the pair, hiss and all', () => {
  const noise = { snrDb: 30 };
  const pair = firstRecording(scenario({}, { noise })).channels[0];
  const leg = firstRecording(scenario({}, { noise, connection: 'one leg' })).channels[0];
  for (let n = 0; n < pair.length; n += 1009) expect(leg[n]).toBeCloseTo(pair[n] / 2, 7);
});

test('an integer recorder clips at its full scale and records whole steps', () => {
  const loud = scenario(
    { recorder: { bits: '16' } },
    { volume: { atSetting: 10, voltsRms: 12, dbPerStep: 1 } },
  );
  const { channels } = firstRecording(loud);
  let [highest, lowest] = [0, 0];
  for (let n = 0; n < channels[0].length; n++) {
    highest = Math.max(highest, channels[0][n]);
    lowest = Math.min(lowest, channels[0][n]);
    if (n % 997 === 0) expect(Number.isInteger(channels[0][n] * 2 ** 15)).toBe(true);
  }
  expect([lowest, highest]).toEqual([-1, 1 - 2 ** -15]);
});

// Butterworth high-pass of order n: 1 / (1 + (corner / f)^2n) of the power passes.
test.each([1, 2] as const)("the recorder's coupling of order %d falls as the closed form does", (order) => {
  const coupled = scenario({ recorder: { couplingHz: 10, couplingOrder: order } });
  const response = trueRecordedResponse(coupled, { tapId: 'front-left', setting: 10, programme: 'left' });
  for (const hz of [5, 10, 20]) {
    const { real, imag } = response(hz);
    const expected = -10 * Math.log10(1 + (10 / hz) ** (2 * order));
    expect(20 * Math.log10(Math.hypot(real, imag) / 0.5)).toBeCloseTo(expected, 4);
  }
});

test('a muting radio falls silent after the track, and its hiss is there before', () => {
  const muting = scenario(
    { recorder: { endSeconds: [2, 2] } },
    { noise: { snrDb: 40 }, muteInSilence: { afterSeconds: 0.3 } },
  );
  const [samples] = firstRecording(muting).channels;
  const at = (seconds: number) =>
    rms(samples, Math.round(seconds * 48_000), Math.round((seconds + 0.2) * 48_000));
  const hiss = at(1 + 8.0 - 0.2); // between the sweeps
  expect(20 * Math.log10(at(1 + 20.5) / hiss)).toBeCloseTo(-40, 0);
});

test('the same seed gives the same samples, another seed other ones', () => {
  const samples = (seed: number) => firstRecording(scenario({ seed }, { noise: { snrDb: 60 } })).channels[0];
  const [first, again, other] = [samples(5), samples(5), samples(6)];
  expect(first.every((sample, n) => sample === again[n])).toBe(true);
  expect(first.every((sample, n) => sample === other[n])).toBe(false);
});

// Closed form of the phasor sum of a Linkwitz-Riley 2 pair; figures as published for order 2: null, and flat when inverted.
test('dash and door of a second-order Linkwitz-Riley pair null at the corner as wired and are flat with one inverted', () => {
  const wired = exampleScenario('linkwitz-riley 2');
  const sumDb = (of: Scenario, frequencyHz: number) => {
    const { real, imag } = trueSum(of, {
      tapIds: ['dash-left', 'door-left'],
      setting: 20,
      programme: 'left',
    })(frequencyHz);
    return 20 * Math.log10(Math.hypot(real, imag) / (6.85 * 10 ** (-10 / 20)));
  };
  expect(sumDb(wired, 3000)).toBeLessThan(-200);
  const [dash, door] = wired.taps;
  const inverted: Scenario = { ...wired, taps: [{ ...dash, inverted: true }, door] };
  for (const frequencyHz of [100, 1500, 3000, 6000, 15_000])
    expect(sumDb(inverted, frequencyHz)).toBeCloseTo(0, 9);
});

test('automatic gain brings a loud and a quiet setting to nearly the same level', () => {
  const levels = [10, 20].map((setting) => {
    const of = scenario({
      settings: [setting],
      recorder: { ...EXACT_RECORDER, automaticGain: { targetDbFs: -12 } },
    });
    return 20 * Math.log10(rms(firstRecording(of).channels[0], 5 * 48_000, 6 * 48_000));
  });
  expect(Math.abs(levels[0] - levels[1])).toBeLessThan(0.5);
});
