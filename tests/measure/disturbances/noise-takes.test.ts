import { describe, expect, it } from 'vitest';
import { measureNoiseTakes } from '../../../src/measure/disturbances/noise-takes.ts';
import { SteptoneError } from '../../../src/model/errors.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import type { Recording, Session } from '../../../src/model/session.ts';
import { fullTrack, sectionOf } from '../../../src/tones/track.ts';
import { sessionOf } from '../../findings/synthetic.ts';
import { playedTrack } from '../../played-track.ts';
import { LEVEL_DB_FS, noise, RATE, recordingOf, sound, TAPS } from '../two-tap-files.ts';

const session = (recordings: readonly Recording[], part: Partial<Session> = {}): Session => ({
  ...sessionOf(TAPS),
  recordings,
  ...part,
});
const PAD = { kind: 'pad', padRatio: 10, fullScaleVoltsRms: 2, tolerancePercent: 5 } as const;

describe('takes of noise', () => {
  it('have a level, lines and volts for each output, with the engine as it was noted.', () => {
    const hum = noise(2, 4).map((value, n) => value + 0.01 * Math.sin((2 * Math.PI * 100 * n) / RATE));
    const { takes, notes } = measureNoiseTakes({
      session: session([recordingOf('noise', 'n.wav', { engine: 'idle', rpm: 800, settings: [24] })], {
        calibration: PAD,
      }),
      open: () => sound(noise(1, 4), hum),
    });
    expect(notes).toEqual([]);
    const [quiet, other] = takes;
    expect(quiet).toMatchObject({
      tapId: 'a',
      file: 'n.wav',
      channel: 1,
      engine: 'idle',
      rpm: 800,
      setting: 24,
      lines: [],
    });
    expect(Math.abs(quiet.levelDbFs - LEVEL_DB_FS)).toBeLessThan(0.2);
    // 20 V at full scale; 12 % of reading and 5 % of calibration: 13 %.
    if (isNotMeasurable(quiet.levelVolts)) throw new Error('no volts');
    const volts = 20 * 10 ** (quiet.levelDbFs / 20);
    expect(quiet.levelVolts.value).toBeCloseTo(volts, 9);
    expect(quiet.levelVolts.plusMinus).toBeCloseTo(0.13 * volts, 9);
    expect([other.tapId, other.channel]).toEqual(['b', 2]);
    expect(other.lines).toEqual([{ frequencyHz: expect.closeTo(100, 0), levelDbFs: expect.closeTo(-40, 0) }]);
  });

  it('without notes are of an engine that is off; without calibration have no volts.', () => {
    const { takes } = measureNoiseTakes({
      session: session([recordingOf('noise', 'n.wav', { channels: [null, 'b', 'c'] })]),
      open: () => sound(noise(1, 2), noise(2, 2)),
    });
    expect(takes).toMatchObject([
      {
        tapId: 'b',
        channel: 2,
        engine: 'off',
        rpm: null,
        setting: null,
        levelVolts: { notMeasurable: { code: 'recording not calibrated' } },
      },
    ]);
  });

  it('are read in the middle 8 s of a long file, beside what struck it, for a second at least.', () => {
    const long = noise(1, 12);
    for (const from of [0, 10]) long.fill(0.5, from * RATE, (from + 2) * RATE);
    const open = () => sound(long, long);
    const of = (samples: Float32Array) =>
      measureNoiseTakes({
        session: session([recordingOf('noise', 'n.wav', { channels: ['a'] })]),
        open: () => sound(samples),
      });
    const [middle] = measureNoiseTakes({ session: session([recordingOf('noise', 'n.wav')]), open }).takes;
    expect(Math.abs(middle.levelDbFs - LEVEL_DB_FS)).toBeLessThan(0.2);
    const struck = (everySeconds: number) => {
      const samples = noise(3, 4);
      for (let at = everySeconds; at < 4; at += everySeconds)
        for (let n = 0; n < 0.03 * RATE; n++) samples[Math.round(at * RATE) + n] *= 100;
      return of(samples);
    };
    expect(struck(1.2).takes).toHaveLength(1);
    expect(Math.abs(struck(1.2).takes[0].levelDbFs - LEVEL_DB_FS)).toBeLessThan(0.2);
    expect(struck(0.9)).toMatchObject({
      takes: [],
      notes: [{ file: 'n.wav', reason: { code: 'no second without a knock' }, leftOut: true }],
    });
  });

  it('are read under the quiet tone where the track plays in one, whatever is louder before and behind it.', () => {
    const played = playedTrack({ track: fullTrack, sampleRateHz: RATE, leadSeconds: 1, left: 0.1, right: 0 });
    const { startSeconds, durationSeconds } = sectionOf(fullTrack, 'tones', 'quiet tone')!;
    const quiet = noise(7, played.length / RATE);
    const hiss = (n: number) => {
      const inside = n / RATE - 1 - startSeconds;
      return quiet[n] * (inside > 0.4 && inside < durationSeconds - 0.4 ? 1 : 10);
    };
    const samples = played.map((value, n) => value + hiss(n));
    const { takes } = measureNoiseTakes({
      session: session([recordingOf('noise', 'n.wav', { channels: ['a'] })]),
      open: () => sound(samples),
    });
    expect(Math.abs(takes[0].levelDbFs - LEVEL_DB_FS)).toBeLessThan(0.2);
    expect(takes[0].lines).toEqual([]);
  });

  it('that cannot be opened are named; other mistakes are not hidden.', () => {
    const missing = new SteptoneError({
      code: 'file-missing',
      expected: 'x',
      found: 'y',
      where: 'z',
      nextStep: 'w',
    });
    const of = (error: Error) =>
      measureNoiseTakes({
        session: session([recordingOf('noise', 'n.wav')]),
        open: () => {
          throw error;
        },
      });
    expect(of(missing).notes).toMatchObject([
      { file: 'n.wav', reason: { code: 'cannot be used', errorCode: 'file-missing' }, leftOut: true },
    ]);
    expect(() => of(new TypeError('mistake'))).toThrow(TypeError);
    expect(measureNoiseTakes({ session: session([]), open: () => sound(noise(1, 1)) }).takes).toEqual([]);
  });
});
