import { expect, test } from 'vitest';
import { sessionInputSchema } from '../../src/model/session-input.ts';
import { exampleNames, exampleScenario } from '../../src/simulate/examples.ts';
import type { SimulatedRecording } from '../../src/simulate/make-recordings.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';
import type { Scenario, ScenarioInput, TapInput } from '../../src/simulate/scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { trueRecordedResponse, trueSum } from '../../src/simulate/true-response.ts';
import { responseTrack, sectionOf, sectionValue } from '../../src/tones/track.ts';
import { rms, toneAmplitude } from './tone.ts';

/** Full scale of the file is 1 V RMS, the tap gives 0.5 V for a full-scale sine, nothing disturbs. */
const QUIET_TAP: TapInput = {
  id: 'front-left',
  side: 'left',
  volume: { atSetting: 10, voltsRms: 0.5, dbPerStep: 1 },
  noise: { voltsRms: 0 },
};
const EXACT_RECORDER = {
  padRatio: 1,
  fullScaleVoltsRms: 1,
  bits: '32f',
  noiseDbFs: -300,
  clockPpm: 0,
  startSeconds: [1, 1] as [number, number],
  endSeconds: [0.1, 0.1] as [number, number],
} as const;

/**
 * Dither and rounding of the track reach 1.5 steps of 2^-15 on the samples and a little more between them; against the
 * sweep at -18 dBFS.
 */
const DITHER = (2 * 2 ** -15) / 10 ** (-18 / 20);

function scenario(changes: Partial<ScenarioInput> = {}, tap: Partial<TapInput> = {}): Scenario {
  return resolveScenario({
    track: 'response only',
    settings: [10],
    taps: [{ ...QUIET_TAP, ...tap }],
    ...changes,
    recorder: { ...EXACT_RECORDER, ...changes.recorder },
  });
}

function firstRecording(of: Scenario): SimulatedRecording {
  return simulate(of).recordings().next().value!;
}

/**
 * Largest distance of the recording from the closed form of the track, played `delaySeconds` late and recorded by a clock
 * that is fast by `ppm`, once the unknown fraction of a sample between the clocks is allowed for; relative to the sweep.
 */
function distanceFromTrack(
  samples: Float32Array,
  { ppm, delaySeconds, gain }: { ppm: number; delaySeconds: number; gain: number },
): number {
  const sweep = sectionOf(responseTrack, 'sweep', 'sweep left')!;
  const rateHz = 48_000 * (1 + ppm * 1e-6);
  const drive = 10 ** (sweep.driveDbFs / 20);
  const distance = (fraction: number) => {
    let worst = 0;
    for (let n = 0; n < 4.5 * rateHz; n += 97) {
      const seconds = sweep.startSeconds + 0.5 + n / rateHz;
      const index = Math.round((1 - 0.05) * 48_000) + Math.round((seconds + 0.05) * rateHz);
      const trackSeconds =
        (index - Math.round((1 - 0.05) * 48_000) - fraction) / rateHz - 0.05 - delaySeconds;
      worst = Math.max(worst, Math.abs(samples[index] - gain * sectionValue(sweep, trackSeconds)));
    }
    return worst / (drive * Math.abs(gain));
  };
  // Golden section over the fraction; the distance has one valley.
  let [low, high] = [0, 1];
  for (let i = 0; i < 40; i++) {
    const [one, other] = [low + 0.382 * (high - low), low + 0.618 * (high - low)];
    if (distance(one) < distance(other)) high = other;
    else low = one;
  }
  return distance(low);
}

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

test('files: one a setting, one a pair with the reference in each, or one long file without overlaps', () => {
  const base = { track: 'response only', settings: [10, 20] } as const;
  const taps = ['a', 'b', 'c'].map((id) => ({ ...QUIET_TAP, id }));
  const filesOf = (files: ScenarioInput['files']) =>
    simulate(scenario({ ...base, taps, files })).session.recordings!;
  expect(filesOf({ repeats: 2 })).toMatchObject([
    { file: 'setting-10.wav', channels: ['a', 'b', 'c'], settings: [10] },
    { file: 'setting-10-take-2.wav' },
    { file: 'setting-20.wav' },
    { file: 'setting-20-take-2.wav' },
  ]);
  expect(filesOf({ kind: 'per pair', referenceTapId: 'b' })).toMatchObject([
    { file: 'b-a-setting-10.wav', channels: ['b', 'a'] },
    { file: 'b-a-setting-20.wav' },
    { file: 'b-c-setting-10.wav', channels: ['b', 'c'] },
    { file: 'b-c-setting-20.wav' },
  ]);
  const long = scenario({
    ...base,
    taps,
    files: { kind: 'one long file', repeats: 2, loop: true, shorted: true },
  });
  expect(simulate(long).session.recordings).toMatchObject([
    { file: 'all-settings.wav', settings: [10, 10, 20, 20] },
    { file: 'loop.wav', kind: 'loop' },
    { file: 'shorted.wav', kind: 'shorted' },
  ]);
  const [{ takes }] = simulate(long).truth.files;
  for (let i = 1; i < takes.length; i++) {
    expect(takes[i].startSeconds - takes[i - 1].startSeconds).toBeGreaterThan(
      responseTrack.durationSeconds + 1.9,
    );
  }
});

test("a loop take holds the player at half of full scale, a shorted take the recorder's noise alone", () => {
  const recorder = { bits: '24', noiseDbFs: -90 } as const;
  const of = scenario(
    { recorder, files: { loop: true, shorted: true } },
    { inverted: true, crossover: [{ side: 'low-pass', family: 'butterworth', order: 4, cornerHz: 100 }] },
  );
  const [, loop, shorted] = [...simulate(of).recordings()];
  expect(distanceFromTrack(loop.channels[0], { ppm: 0, delaySeconds: 0, gain: 0.5 })).toBeLessThan(2e-3);
  const level = 20 * Math.log10(rms(shorted.channels[0], 0, shorted.channels[0].length) / Math.SQRT1_2);
  expect(level).toBeCloseTo(-90, 1);
});

test('a tone recorded for calibration has the volts that the session says were read', () => {
  const of = scenario(
    { calibration: { kind: 'tone' } },
    { crossover: [{ side: 'low-pass', family: 'butterworth', order: 1, cornerHz: 100 }] },
  );
  const { session, recordings } = simulate(of);
  const tone = [...recordings()].find(({ kind }) => kind === 'tone')!;
  // 0.5 V, -10 dB of drive, -3.01 dB of the filter at its corner.
  expect(session.calibration).toMatchObject({
    kind: 'tone',
    file: tone.file,
    voltsRms: expect.closeTo(0.5 * 10 ** (-10 / 20) * Math.SQRT1_2, 6),
  });
  const { magnitude } = toneAmplitude(tone.channels[0], {
    frequencyHz: 100,
    sampleRateHz: 48_000,
    start: 4800,
    cycles: 50,
  });
  expect(magnitude).toBeCloseTo(0.5 * 10 ** (-10 / 20) * Math.SQRT1_2, 6);
});

test('every example is a valid scenario whose session file is valid too', () => {
  expect(exampleNames.length).toBeGreaterThan(20);
  for (const name of exampleNames) {
    const { session, truth } = simulate(exampleScenario(name));
    expect(sessionInputSchema.safeParse(session).success, name).toBe(true);
    expect(truth.taps).toHaveLength(2);
  }
});

test('swapped and dead channels, and knocks, are as declared', () => {
  const taps = [
    QUIET_TAP,
    { ...QUIET_TAP, id: 'front-right', volume: { atSetting: 10, voltsRms: 0.1, dbPerStep: 1 } },
  ];
  const recorder = { swappedChannels: [1, 2] as const, knocks: [{ atSeconds: 0.3, peakDbFs: -3 }] };
  const [loud, quiet] = firstRecording(
    scenario({ taps, recorder: { ...EXACT_RECORDER, ...recorder } }),
  ).channels.map((channel) => rms(channel, 3 * 48_000, 6 * 48_000));
  expect(20 * Math.log10(quiet / loud)).toBeCloseTo(20 * Math.log10(5), 1);
  const dead = firstRecording(
    scenario({ taps, recorder: { ...EXACT_RECORDER, ...recorder, deadChannels: [2] } }),
  ).channels;
  // Before the swap the second channel was dead; the knock, which comes from the recorder, is still there.
  expect(rms(dead[0], 3 * 48_000, 6 * 48_000)).toBeLessThan(1e-9);
  expect(rms(dead[0], 0.3 * 48_000, 0.32 * 48_000)).toBeGreaterThan(0.1);
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

test('an aborted track stands before its take in the long file, and the session does not list it', () => {
  const files = {
    kind: 'one long file',
    gapSeconds: [2, 2],
    aborted: [{ beforeTake: 2, playedSeconds: 3 }],
  } as const;
  const of = scenario({ settings: [10, 20], files });
  const { session, truth } = simulate(of);
  expect(session.recordings).toMatchObject([{ settings: [10, 20] }]);
  const takes = truth.files[0].takes;
  expect(takes.map(({ startSeconds }) => startSeconds)).toEqual([1, 1 + 19.5 + 2, 1 + 19.5 + 2 + 3 + 2]);
  const [samples] = firstRecording(of).channels;
  const level = (seconds: number) => rms(samples, seconds * 48_000, (seconds + 0.5) * 48_000);
  expect(level(takes[1].startSeconds + 2.4)).toBeGreaterThan(1e-3);
  expect(level(takes[1].startSeconds + 3.1)).toBeLessThan(1e-9);
});
