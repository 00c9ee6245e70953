import { beforeAll, describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/dsp/random.ts';
import { measureTake, type TakeMeasurement } from '../../src/measure/measure-take.ts';
import { readRecording } from '../../src/measure/read-recording.ts';
import { takeReader } from '../../src/measure/take-reader.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { FrequencyResponse } from '../../src/model/response.ts';
import type { Recording } from '../../src/model/session.ts';
import { fullTrack, sectionOf } from '../../src/tones/track.ts';
import { sessionOf, tapOf } from '../findings/synthetic.ts';
import { memorySound } from '../memory-sound.ts';
import { playedTrack } from '../played-track.ts';

const RATE = 44_100;
const START = 0.7;
const PPM = 60;
/** A place of the track in the recording, whose clock runs fast. */
const inRecording = (trackSeconds: number) => START + trackSeconds * (1 + PPM * 1e-6);

/** Left at half, late by 0.2 ms and with an offset of 0.01; right at a quarter, inverted, and struck. */
function recorded(): Float32Array[] {
  const common = {
    track: fullTrack,
    sampleRateHz: RATE,
    leadSeconds: START,
    clockPpm: PPM,
    noiseRms: 2e-5,
  };
  const left = playedTrack({ ...common, left: 0.5, right: 0, delaySeconds: 2e-4, seed: 1 });
  const right = playedTrack({ ...common, left: 0, right: -0.25, seed: 2 });
  for (let n = 0; n < left.length; n++) left[n] += 0.01;
  const random = seededRandom(3);
  const sound = (trackSeconds: number, seconds: number, rms: number) => {
    const from = Math.round(inRecording(trackSeconds) * RATE);
    for (let n = from; n < from + seconds * RATE; n++) right[n] += rms * random.gaussian();
  };
  for (const atSeconds of Object.values(KNOCKS)) sound(atSeconds, 0.03, 0.02);
  sound(CHIME.fromSeconds, CHIME.seconds, 0.003);
  return [left, right];
}
/** Of the track: in the sweep, on a step of the bass ladder (its 11th), under the quiet tone. */
const KNOCKS = { 'sweep right': 11.2, 'ladder bass': 20.6 + (10 * 8 + 4) / 55, 'quiet tone': 39.2 };
const CHIME = { fromSeconds: 41.2, seconds: 0.7 };

let read: TakeMeasurement;
let channels: Float32Array[];
beforeAll(() => {
  channels = recorded();
  read = measuredOf(channels);
});

function measuredOf(samples: readonly Float32Array[]): TakeMeasurement {
  const sound = memorySound({ sampleRateHz: RATE, channels: samples });
  const take = { track: fullTrack, startSeconds: START, score: 3, missing: [] };
  return measureTake(takeReader({ sound, take, channels: [0, 1] }), { recorderFloorDbFs: [-100, null] });
}

const at = ({ real, imag }: FrequencyResponse, hz: number) => {
  const k = gridFrequencyHz.findIndex((one) => one >= hz);
  return { hz: gridFrequencyHz[k], size: Math.hypot(real[k], imag[k]), angle: Math.atan2(imag[k], real[k]) };
};

describe('a take of two outputs', () => {
  it('has the recorder’s clock, its peak, offset and floor.', () => {
    expect(Math.abs(read.clock!.ppm - PPM)).toBeLessThan(0.1);
    const [left, right] = read.channels;
    // The full-scale step of 55 Hz: 0.5 and the offset.
    expect(left.recorder.peakDbFs).toBeCloseTo(20 * Math.log10(0.51), 1);
    expect(left.recorder.dcOffset).toBeCloseTo(0.01, 4);
    expect(left.recorder).toMatchObject({ clippedRuns: 0, clockPpm: read.clock!.ppm });
    expect([left.noise?.recorderDbFs, right.noise?.recorderDbFs]).toEqual([-100, null]);
    expect(read.continuity).toEqual({ slip: null, torn: [] });
  });

  it('has levels of 0.5 and 0.25, a delay of 0.2 ms and an inverted side.', () => {
    const [left, right] = read.channels;
    for (const hz of [40, 1000, 8000]) {
      expect(at(left.left, hz).size).toBeCloseTo(0.5, 3);
      expect(at(left.bothLowDrive!, hz).size).toBeCloseTo(0.5, 2);
      expect(at(right.right, hz).size).toBeCloseTo(0.25, 3);
    }
    const { hz, angle } = at(left.left, 500);
    expect(angle).toBeCloseTo(-2 * Math.PI * hz * 2e-4, 2);
    expect(Math.abs(at(right.right, 500).angle)).toBeCloseTo(Math.PI, 2);
    expect([left.right.trustedHz, right.left.trustedHz]).toEqual([null, null]);
    expect(read.faults[0].levelsDbFs).toEqual({ left: expect.closeTo(20 * Math.log10(0.5), 2), right: null });
    expect(read.faults[1].levelsDbFs).toEqual({
      left: null,
      right: expect.closeTo(20 * Math.log10(0.25), 2),
    });
  });

  it('has three ladders whose steps are the drive times the gain; the struck step is left out.', () => {
    const [left, right] = read.channels;
    expect(left.ladders.map(({ toneHz }) => toneHz)).toEqual([55, 997, 6007]);
    for (const { toneHz, steps } of left.ladders) {
      const driven = fullTrack.sections.find((one) => one.kind === 'ladder' && one.toneHz === toneHz);
      expect(steps.map(({ driveDbFs }) => driveDbFs)).toEqual(
        driven?.kind === 'ladder' ? driven.driveDbFs : [],
      );
      for (const { driveDbFs, levelDbFs } of steps)
        expect(levelDbFs).toBeCloseTo(driveDbFs + 20 * Math.log10(0.5), 2);
    }
    const bass = sectionOf(fullTrack, 'ladder', 'ladder bass')!;
    const missing = bass.driveDbFs.filter(
      (drive) => !right.ladders[0].steps.some(({ driveDbFs }) => driveDbFs === drive),
    );
    expect(missing).toEqual([bass.driveDbFs[10]]);
  });

  it('tells knocks by section and time, in a sweep with the frequencies they spoilt, and a chime with its end.', () => {
    expect(read.faults[0]).toMatchObject({
      knocks: [],
      announcements: [],
      mutedUpToHz: null,
      sweepsClipped: 0,
    });
    const { knocks, announcements } = read.faults[1];
    expect(knocks.map(({ section }) => section)).toEqual(Object.keys(KNOCKS));
    const [sweep, step, quiet] = knocks;
    expect(Math.abs(sweep.atSeconds - inRecording(KNOCKS['sweep right']))).toBeLessThan(0.02);
    expect(Math.abs(quiet.atSeconds - inRecording(KNOCKS['quiet tone']))).toBeLessThan(0.02);
    // A step is told by its beginning, by the track's clock.
    expect(step.atSeconds).toBeCloseTo(START + 20.6 + 80 / 55, 3);
    // 3 s after its start the sweep passes 10 * 2000^(3 / 6) = 447 Hz.
    expect(sweep.spoiltHz![0]).toBeLessThan(447);
    expect(sweep.spoiltHz![1]).toBeGreaterThan(447);
    expect(sweep.spoiltHz![1] / sweep.spoiltHz![0]).toBeLessThan(4);
    expect([step.spoiltHz, quiet.spoiltHz]).toEqual([null, null]);
    expect(announcements).toHaveLength(1);
    expect(announcements[0].section).toBe('silence');
    expect(Math.abs(announcements[0].fromSeconds - inRecording(CHIME.fromSeconds))).toBeLessThan(0.02);
    expect(announcements[0].toSeconds - announcements[0].fromSeconds).toBeCloseTo(CHIME.seconds, 1);
  });

  it('has the noise that was added, whatever struck or spoke beside it.', () => {
    // RMS against a full-scale sine's, and the share of 22.05 kHz that lies between 20 Hz and 20 kHz.
    const expected = 20 * Math.log10(2e-5 * Math.SQRT2) + 10 * Math.log10(19_980 / 22_050);
    for (const { noise } of read.channels) {
      expect(Math.abs(noise!.inSilenceDbFs - expected)).toBeLessThan(0.2);
      expect(noise!.lines).toEqual([]);
    }
    expect(read.faults.map(({ gainChangeDb }) => Math.abs(gainChangeDb!.value) < 0.02)).toEqual([true, true]);
  });

  it('is read from a file with the facts of both outputs; without a channel of its own it is refused.', () => {
    const taps = [tapOf({ id: 'a' }), tapOf({ id: 'b', side: 'right' })];
    const recording = {
      kind: 'takes',
      file: 'a.wav',
      channels: ['a', 'b'],
      settings: [],
    } as unknown as Recording;
    const of = (sound: ReturnType<typeof memorySound>, given = recording) =>
      readRecording({
        recording: given,
        session: sessionOf(taps),
        sound,
        recorder: { response: new Map(), floorDbFs: new Map([[1, -90]]), toneLevel: null },
      });
    const sound = memorySound({ sampleRateHz: RATE, channels });
    const found = of(sound);
    expect(found.taps.map(({ tap, channel }) => [tap.id, channel])).toEqual([
      ['a', 0],
      ['b', 1],
    ]);
    expect(found.facts).toHaveLength(1);
    expect(found.facts[0]).toMatchObject({ file: 'a.wav', track: 'full', missingSections: [] });
    expect(Math.abs(found.facts[0].takeStartSeconds - START)).toBeLessThan(0.005);
    expect(found.facts[0].channels.map(({ carries, tapId }) => [tapId, carries])).toEqual([
      ['a', 'left'],
      ['b', 'right'],
    ]);
    expect(found.facts[0].channels.every(({ leadInExcessDb }) => Math.abs(leadInExcessDb!) < 0.2)).toBe(true);
    expect(found.measured[0].channels.map(({ noise }) => noise?.recorderDbFs)).toEqual([null, -90]);
    expect(found.prints[0]).not.toBeNull();
    expect(found.notes).toEqual([]);
    expect(() => of(sound, { ...recording, channels: ['a', 'b', null] })).toThrow();
    const [quiet] = [
      memorySound({ sampleRateHz: RATE, channels: [new Float32Array(RATE), new Float32Array(RATE)] }),
    ];
    expect(() => of(quiet)).toThrow();
  });
});
