import { describe, expect, it } from 'vitest';
import { measureRecording } from '../../src/measure/measure-recording.ts';
import type { ChannelMeasurement, TakeMeasurement } from '../../src/measure/measure-take.ts';
import type { RecordingReadings } from '../../src/measure/read-recording.ts';
import type { RecorderKnowledge } from '../../src/measure/recorder/measure-recorder.ts';
import { takeReader } from '../../src/measure/take-reader.ts';
import type { ChannelFacts, TakeFacts } from '../../src/model/check.ts';
import type { Recording, Session } from '../../src/model/session.ts';
import type { KnownLevel } from '../../src/takes/assign-settings.ts';
import { fullTrack, sectionOf } from '../../src/tones/track.ts';
import { sessionOf, tapOf } from '../findings/synthetic.ts';
import { memorySound } from '../memory-sound.ts';
import { thrown } from '../thrown.ts';
import { exactResponse } from './exact-response.ts';
import { channelFacts, takeFacts } from './facts.ts';

const channel: ChannelMeasurement = {
  left: exactResponse({ gain: 0.5 }),
  right: exactResponse({ gain: 0 }),
  bothLowDrive: exactResponse({ gain: 0.5 }),
  ladders: [],
  noise: null,
  recorder: { peakDbFs: -9, clippedRuns: 0, dcOffset: 0, clockPpm: 0 },
};
const NOTHING_KNOWN: RecorderKnowledge = { response: new Map(), floorDbFs: new Map(), toneLevel: null };
const IDS = ['a', 'b'];
type Channels = readonly Partial<ChannelFacts>[];

function readings(takes: readonly (Partial<TakeFacts> & { of?: Channels })[]): RecordingReadings {
  const facts = takes.map(({ of, ...take }, t) =>
    takeFacts({
      file: 'x.wav',
      takeStartSeconds: 50 * t + 1,
      ...take,
      channels: IDS.map((tapId, i) => channelFacts({ tapId, ...of?.[i] })),
    }),
  );
  return {
    taps: IDS.map((id, i) => ({ tap: tapOf({ id }), channel: i })),
    measured: facts.map(() => ({ channels: IDS.map(() => channel) }) as unknown as TakeMeasurement),
    facts,
    prints: facts.map((_, t) => Float32Array.of(t)),
    notes: [],
  };
}
const measured = (
  takes: Parameters<typeof readings>[0],
  of: {
    settings?: readonly number[];
    session?: Partial<Session>;
    recording?: Partial<Recording>;
    recorder?: Partial<RecorderKnowledge>;
    known?: (tapId: string) => readonly KnownLevel[];
  } = {},
) =>
  measureRecording({
    recording: {
      kind: 'takes',
      file: 'x.wav',
      channels: IDS,
      settings: of.settings ?? takes.map((_, t) => 20 + 4 * t),
      ...of.recording,
    } as Recording,
    session: {
      ...sessionOf(
        IDS.map((id) => tapOf({ id })),
        14.1,
      ),
      ...of.session,
    },
    readings: readings(takes),
    recorder: { ...NOTHING_KNOWN, ...of.recorder },
    known: of.known,
  });
const level = (...db: (number | null)[]): Channels => db.map((levelDbFs) => ({ levelDbFs }));

describe('the takes of one file', () => {
  it('have their settings in order, a list of outputs each, with where they come from.', () => {
    const { takes, facts, prints, notes } = measured([{ of: level(-20, -21) }, { of: level(-16, -17) }]);
    expect(takes.map((take) => take.map(({ tapId, setting }) => [tapId, setting]))).toEqual([
      [
        ['a', 20],
        ['b', 20],
      ],
      [
        ['a', 24],
        ['b', 24],
      ],
    ]);
    expect(takes[1][1]).toMatchObject({
      evidence: [{ file: 'x.wav', channel: 2, setting: 24, takeStartSeconds: 51 }],
      voltsPerFullScale: null,
      supplyVolts: 14.1,
      repeats: { count: 1, spreadDb: 0 },
      leadInExcessDb: 0,
    });
    expect(facts.map(({ setting }) => setting)).toEqual([20, 24]);
    expect(prints.map((print) => print![0])).toEqual([0, 1]);
    expect(notes).toEqual([]);
  });

  it('have the supply that was read beside them, and volts by the session’s calibration.', () => {
    const calibration = { kind: 'pad', padRatio: 11, fullScaleVoltsRms: 1.2, tolerancePercent: 2 } as const;
    const [[one]] = measured([{}], { session: { calibration }, recording: { supplyVolts: 12.4 } }).takes;
    expect(one).toMatchObject({
      supplyVolts: 12.4,
      voltsPerFullScale: { volts: expect.closeTo(13.2, 9), relativeUncertainty: 0.02 },
    });
    const tone = { kind: 'tone', file: 't', channel: 1, voltsRms: 5, tolerancePercent: 1 } as const;
    const [[other]] = measured([{}], { session: { calibration: tone }, recorder: { toneLevel: 0.25 } }).takes;
    expect(other.voltsPerFullScale).toEqual({ volts: 20, relativeUncertainty: 0.01 });
  });

  it('share one time zero, or one a side where the clocks are not known.', () => {
    const [shared] = measured([{}]).takes;
    expect(new Set(shared.map(({ timeOrigin }) => timeOrigin)).size).toBe(1);
    const apart = measured([{ clockPpm: null, of: [{ carries: 'left' }, { carries: 'right' }] }]).takes;
    expect(apart.map((take) => take.map(({ tapId }) => tapId))).toEqual([['a'], ['b']]);
    const same = measured([{ clockPpm: null, of: [{ carries: 'left' }, { carries: 'left' }] }]).takes;
    expect(same).toHaveLength(1);
  });

  it('leave out what was begun anew at the same level, and say so.', () => {
    const { takes, facts, prints, notes } = measured([{ clockPpm: null }, {}], { settings: [20] });
    expect(takes).toHaveLength(1);
    expect(facts.map(({ takeStartSeconds }) => takeStartSeconds)).toEqual([51]);
    expect(prints[0]![0]).toBe(1);
    expect(notes).toEqual([{ code: 'track begun anew', atSeconds: 1 }]);
  });

  it('have the recorder’s own shape divided out of the channel that has one.', () => {
    const shape = exactResponse({ gain: 2 });
    const [[one, other]] = measured([{}], { recorder: { response: new Map([[1, shape]]) } }).takes;
    expect([one.recorder.dividedOut, other.recorder.dividedOut]).toEqual([undefined, true]);
    expect(one.left).toBe(channel.left);
    expect(other.left.real[200]).toBeCloseTo(0.25, 4);
    expect(other.bothLowDrive!.real[200]).toBeCloseTo(0.25, 4);
  });

  it('are told apart by the output that is heard in all of them, or whose levels are known.', () => {
    const takes = [{ of: level(null, -20) }, { of: level(null, -12) }];
    const settings = [20, 24, 28];
    const known = (tapId: string) =>
      tapId === 'b'
        ? [
            { setting: 20, levelDb: -20 },
            { setting: 24, levelDb: -16 },
            { setting: 28, levelDb: -12 },
          ]
        : [];
    expect(measured(takes, { settings, known }).facts.map(({ setting }) => setting)).toEqual([20, 28]);
    expect(thrown(() => measured(takes, { settings })).code).toBe('settings');
    // A level that moved by itself, by more than half a decibel and its error, tells no setting.
    const moving = (part: Partial<ChannelFacts>) =>
      takes.map(({ of: [first, second] }) => ({ of: [first, { ...second, ...part }] }));
    const told = (part: Partial<ChannelFacts>) => () => measured(moving(part), { settings, known });
    const change = (value: number) => ({ gainChangeDb: { value, plusMinus: 0.1 } });
    for (const part of [change(0.59), change(-0.59), { gainChangeDb: null }, { ladderSpreadDb: 0.49 }])
      expect(told(part)().facts.map(({ setting }) => setting)).toEqual([20, 28]);
    for (const part of [change(0.61), change(-0.61), { ladderSpreadDb: 0.51 }])
      expect(thrown(told(part)).code).toBe('settings');
  });
});

describe('what a reader of a take reads', () => {
  const RATE = 1000;
  const channels = [0, 1, 2].map((c) => Float32Array.from({ length: 9000 }, (_, n) => 10_000 * c + n));
  const take = { track: fullTrack, startSeconds: 0.5004, score: 3, missing: [] };
  const reader = (of: readonly number[], clockPpm?: number) =>
    takeReader({
      sound: memorySound({ sampleRateHz: RATE, channels }),
      take,
      channels: of,
      ...(clockPpm === undefined ? {} : { clockPpm }),
    });

  it('starts on a whole sample, and finds sections by the recorder’s clock.', () => {
    const sweep = sectionOf(fullTrack, 'sweep', 'sweep right')!;
    expect(reader([0])).toMatchObject({ startFrame: 500, sampleRateHz: RATE, length: 9000, clockPpm: 0 });
    expect(reader([0]).startSecondsOf(sweep)).toBeCloseTo(8.7, 9);
    expect(reader([0], 1000).startSecondsOf(sweep)).toBeCloseTo(8.7082, 9);
    expect(reader([0]).withClock(500)).toMatchObject({ clockPpm: 500, channels: [0] });
  });

  it('reads its channels in their order, one of them, or some; what lies outside is zero.', () => {
    const of = reader([2, 0]);
    expect(of.read({ start: 5, count: 2 }).map((samples) => [...samples])).toEqual([
      [20_005, 20_006],
      [5, 6],
    ]);
    expect([...of.readOne(1, { start: 8, count: 2 })]).toEqual([8, 9]);
    expect(of.only([1]).channels).toEqual([0]);
    expect([...of.only([0]).read({ start: -1, count: 2 })[0]]).toEqual([0, 20_000]);
    expect([...of.readOne(0, { start: 8999, count: 2 })]).toEqual([28_999, 0]);
  });

  it('keeps the last long section and the last two short ones.', () => {
    const of = reader([0]);
    const [first] = of.read({ start: 1, count: 3 });
    const [second] = of.read({ start: 2, count: 3 });
    expect([first[0], second[0]]).toEqual([1, 2]);
    const [long] = of.read({ start: 3, count: 4001 });
    expect([first[0], second[0], long[0], long[4000]]).toEqual([1, 2, 3, 4003]);
    of.read({ start: 4, count: 3 });
    expect(second[0]).toBe(2);
    expect(long[0]).toBe(3);
  });

  it('holds 24 MB of a section at a time, a channel at least.', () => {
    const places = (count: number) => reader([0, 1, 2]).parts(count);
    expect(places(1000)).toEqual([[0, 1, 2]]);
    // 6 million samples of four bytes are all of it.
    expect(places(3e6)).toEqual([[0, 1], [2]]);
    expect(places(3e6 + 1)).toEqual([[0], [1], [2]]);
    expect(places(9e6)).toEqual([[0], [1], [2]]);
  });
});
