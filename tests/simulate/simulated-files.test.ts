import { expect, test } from 'vitest';
import { sessionInputSchema } from '../../src/model/session-input.ts';
import { exampleNames, exampleScenario } from '../../src/simulate/examples.ts';
import type { ScenarioInput } from '../../src/simulate/scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { responseTrack } from '../../src/tones/track.ts';
import { distanceFromTrack, EXACT_RECORDER, firstRecording, QUIET_TAP, scenario } from './exact-scenario.ts';
import { rms, toneAmplitude } from './tone.ts';

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
