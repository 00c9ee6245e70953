import { beforeAll, describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/dsp/random.ts';
import { measureTake, type TakeMeasurement } from '../../src/measure/measure-take.ts';
import { takeReader } from '../../src/measure/take-reader.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { FrequencyResponse } from '../../src/model/response.ts';
import { fullTrack } from '../../src/tones/track.ts';
import { memorySound } from '../memory-sound.ts';
import { playedTrack } from '../played-track.ts';

const RATE = 44_100;
const START = 0.4;
const LATE_SECONDS = 0.012;
/** Of the track: within the left sweep, and where the recording was stopped, within the right closing sweep. */
const VOICE = { fromSeconds: 4.5, seconds: 0.6 };
const STOPPED_SECONDS = 34.9;

/** So long the third output was muted in the left sweep: up to 10 x 2000^(0.7 / 6) = 24 Hz. */
const MUTED_SECONDS = 0.7;

/** Left at half, late by 12 ms, spoken into; right at a quarter; both sides, muted at the start. */
function recorded(): Float32Array[] {
  const common = { track: fullTrack, sampleRateHz: RATE, leadSeconds: START, noiseRms: 2e-5 };
  const left = playedTrack({ ...common, left: 0.5, right: 0, delaySeconds: LATE_SECONDS, seed: 1 });
  const right = playedTrack({ ...common, left: 0, right: 0.25, seed: 2 });
  const random = seededRandom(3);
  const from = Math.round((START + VOICE.fromSeconds) * RATE);
  for (let n = from; n < from + VOICE.seconds * RATE; n++) left[n] += 0.02 * random.gaussian();
  const both = playedTrack({ ...common, left: 0.2, right: 0.2, seed: 4 });
  both.fill(0, 0, Math.round((START + 1.5 + MUTED_SECONDS) * RATE));
  const length = Math.round((START + STOPPED_SECONDS) * RATE);
  return [left, right, both].map((samples) => samples.slice(0, length));
}

let read: TakeMeasurement;
beforeAll(() => {
  const sound = memorySound({ sampleRateHz: RATE, channels: recorded() });
  const take = { track: fullTrack, startSeconds: START, score: 3, missing: ['quiet tone', 'silence'] };
  read = measureTake(takeReader({ sound, take, channels: [0, 1, 2] } as Parameters<typeof takeReader>[0]), {
    recorderFloorDbFs: [null, null, null],
  });
});
const at = ({ real, imag, sigma }: FrequencyResponse, hz: number) => {
  const k = gridFrequencyHz.findIndex((one) => one >= hz);
  return { size: Math.hypot(real[k], imag[k]), sigma: sigma[k] };
};

describe('a take that was spoken into and stopped early', () => {
  it('tells the voice in the sweep, by section and time, and nothing on the other output.', () => {
    const [left, right] = read.faults;
    expect(left.announcements.map(({ section }) => section)).toEqual(['sweep left']);
    expect(Math.abs(left.announcements[0].fromSeconds - (START + VOICE.fromSeconds))).toBeLessThan(0.03);
    const { fromSeconds, toSeconds } = left.announcements[0];
    expect(Math.abs(toSeconds - fromSeconds - VOICE.seconds)).toBeLessThan(0.04);
    expect([right.announcements, right.knocks, left.knocks]).toEqual([[], [], []]);
  });

  it('reads what the voice covered from the closing sweep, and everything else as it was.', () => {
    const { left } = read.channels[0];
    // 3.0 to 3.6 s after its start the sweep passes 10 x 2000^(t / 6): 447 to 956 Hz.
    for (const hz of [40, 200, 600, 800, 1500, 8000])
      expect(at(left, hz).size, `${hz} Hz`).toBeCloseTo(0.5, 2);
    expect(at(left, 700).sigma).toBeGreaterThan(2 * at(left, 3000).sigma);
    expect(at(left, 700).sigma).toBeLessThan(0.01);
  });

  it('reads the ladders of an output that is late by as much later.', () => {
    for (const { steps } of read.channels[0].ladders) {
      for (const { driveDbFs, levelDbFs, thd } of steps) {
        expect(Math.abs(levelDbFs - driveDbFs - 20 * Math.log10(0.5))).toBeLessThan(0.02);
        // -40 dBFS at half is 0.005 beside noise of 2e-5.
        if (driveDbFs > -20) expect(thd).toBeLessThan(2e-3);
      }
    }
    expect(read.channels[0].ladders.map(({ steps }) => steps.length)).toEqual(
      read.channels[1].ladders.map(({ steps }) => steps.length),
    );
  });

  it('marks what was muted in the left sweep, and leaves the right one as it is.', () => {
    const { left, right } = read.channels[2];
    const mutedHz = 10 * 2000 ** (MUTED_SECONDS / 6);
    expect(read.faults.map(({ mutedUpToHz }) => mutedUpToHz !== null)).toEqual([false, false, true]);
    expect(Math.abs(Math.log2(read.faults[2].mutedUpToHz! / mutedHz))).toBeLessThan(0.5);
    expect(at(left, 14).sigma).toBeGreaterThanOrEqual(at(left, 14).size);
    expect(at(right, 14).sigma).toBeLessThan(0.1 * at(right, 14).size);
    expect(at(left, 60).size).toBeCloseTo(0.2, 2);
    expect(at(right, 60).size).toBeCloseTo(0.2, 2);
  });

  it('has the clock from the side whose closing sweep was heard, and no noise.', () => {
    expect(Math.abs(read.clock!.ppm)).toBeLessThan(0.1);
    expect(at(read.channels[1].right, 1000).size).toBeCloseTo(0.25, 3);
    expect(read.channels.map(({ noise }) => noise)).toEqual([null, null, null]);
    expect(read.continuity.slip).toBeNull();
    // 12 ms turn 100 Hz by 1.2 turns.
    const { real, imag } = read.channels[0].left;
    const k = gridFrequencyHz.findIndex((hz) => hz >= 100);
    const turns = gridFrequencyHz[k] * LATE_SECONDS;
    expect(Math.atan2(imag[k], real[k])).toBeCloseTo(-2 * Math.PI * (turns - Math.round(turns)), 1);
  });
});
