import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/dsp/random.ts';
import type { ChannelFaults, ChannelMeasurement, TakeMeasurement } from '../../src/measure/measure-take.ts';
import { ladderSpreadDb, takeFacts, takePrint } from '../../src/measure/take-facts.ts';
import { takeReader } from '../../src/measure/take-reader.ts';
import type { LadderStep } from '../../src/model/measurement.ts';
import { fullTrack, type Section, sectionOf, type Track } from '../../src/tones/track.ts';
import { tapOf } from '../findings/synthetic.ts';
import { memorySound } from '../memory-sound.ts';
import { exactResponse } from './exact-response.ts';

const RATE = 8000;
const START = 0.25;
const at = (section: Section, startSeconds: number): Section => ({ ...section, startSeconds });
/** Pauses of half a second before two sweeps, and a silence: nothing else of a track is read for the facts. */
const TRACK: Track = {
  name: 'full',
  durationSeconds: 3,
  sections: [
    at(sectionOf(fullTrack, 'sweep', 'sweep right')!, 0.5),
    at(sectionOf(fullTrack, 'sweep', 'closing right')!, 1.1),
    { id: 'silence', kind: 'silence', startSeconds: 1.5, durationSeconds: 1.4 },
  ],
};
const noise = (seed: number) => {
  const random = seededRandom(seed);
  return Float32Array.from({ length: 3.2 * RATE }, () => 1e-4 * random.gaussian());
};

const quietStep: LadderStep = {
  driveDbFs: -20,
  levelDbFs: -26,
  levelSigmaDb: 0.001,
  harmonics: [],
  thd: 0,
  thdBeforeFilters: 0,
  thdNoise: 0,
  peakDbFs: -26,
};
const ladderOf = (steps: readonly Partial<LadderStep>[], toneHz = 997) => ({
  toneHz,
  highestHarmonic: 10,
  steps: steps.map((step) => ({ ...quietStep, ...step })),
});
const faultless: ChannelFaults = {
  levelsDbFs: { left: -6, right: null },
  knocks: [],
  announcements: [],
  gainChangeDb: null,
  mutedUpToHz: null,
  sweepsClipped: 0,
};
const channelOf = (part: Partial<ChannelMeasurement> = {}): ChannelMeasurement => ({
  left: exactResponse({ gain: 0.5, sigma: 1e-4 }),
  right: exactResponse({ gain: 0 }),
  bothLowDrive: null,
  ladders: [],
  noise: null,
  recorder: { peakDbFs: -9, clippedRuns: 0, dcOffset: 0.01, clockPpm: 0 },
  ...part,
});
interface Told {
  readonly samples?: Float32Array;
  readonly faults?: Partial<ChannelFaults>;
  readonly channel?: Partial<ChannelMeasurement>;
}
function factsOf(
  channels: readonly Told[],
  { missing = [] as string[], ...whole }: Partial<TakeMeasurement> & { missing?: string[] } = {},
) {
  const sound = memorySound({
    sampleRateHz: RATE,
    channels: channels.map(({ samples }, i) => samples ?? noise(i + 1)),
  });
  const take = { track: TRACK, startSeconds: START, score: 3, missing };
  return takeFacts({
    reader: takeReader({ sound, take, channels: channels.map((_, i) => i) }),
    file: 'a.wav',
    taps: channels.map((_, i) => ({ tap: tapOf({ id: `tap-${i}` }), channel: i })),
    measured: {
      clock: null,
      continuity: { slip: null, torn: [] },
      channels: channels.map(({ channel }) => channelOf(channel)),
      faults: channels.map(({ faults }) => ({ ...faultless, ...faults })),
      ...whole,
    },
  });
}
const one = (told: Told = {}) => factsOf([told]).channels[0];

describe('the facts of a take', () => {
  it('are where it is, its clock, and what each channel reads.', () => {
    const found = factsOf([{}, {}], { clock: { ppm: 41, plusMinusPpm: 0.2 } });
    expect(found).toMatchObject({
      file: 'a.wav',
      setting: null,
      takeStartSeconds: 0.25,
      track: 'full',
      missingSections: [],
      clockPpm: { value: 41, plusMinus: 0.2 },
    });
    expect(found).not.toHaveProperty('timeSlip');
    expect(found).not.toHaveProperty('tornSections');
    expect(found.channels.map(({ tapId, channel }) => [tapId, channel])).toEqual([
      ['tap-0', 1],
      ['tap-1', 2],
    ]);
    expect(found.channels[0]).toMatchObject({
      levelDbFs: -6,
      peakDbFs: -9,
      dcOffset: 0.01,
      clippedRuns: 0,
      clippedFromDriveDbFs: null,
      noiseDbFs: null,
      ladderSpreadDb: null,
      sameAsTapId: null,
      knocks: [],
    });
    for (const name of ['sweepsClipped', 'tonesAgainstSweep', 'isStill', 'announcements'])
      expect(found.channels[0]).not.toHaveProperty(name);
    const slip = { after: 'sweep left', before: 'sweep right', milliseconds: 5 } as const;
    expect(factsOf([{}], { continuity: { slip, torn: ['sweep left'] } })).toMatchObject({
      clockPpm: null,
      timeSlip: slip,
      tornSections: ['sweep left'],
    });
  });

  it('are the louder level, the highest trusted frequency, and the clearest ratio to the noise.', () => {
    expect(one({ faults: { levelsDbFs: { left: -12, right: -8 } } }).levelDbFs).toBe(-8);
    expect(one({ faults: { levelsDbFs: { left: null, right: null } } }).levelDbFs).toBeNull();
    expect(one().upToHz).toBeGreaterThan(19_000);
    // 0.5 over 1e-4 is 74 dB, a little more where the noise adds to it.
    expect(Math.abs(one().clearDb! - 74)).toBeLessThan(0.05);
    const silent = { left: exactResponse({ gain: 0 }), right: exactResponse({ gain: 0 }) };
    expect(one({ channel: silent })).toMatchObject({ upToHz: null, clearDb: null });
  });

  it('say what a channel carries: 20 dB below the other side is crosstalk.', () => {
    const carries = (left: number | null, right: number | null) =>
      one({ faults: { levelsDbFs: { left, right } } }).carries;
    expect([carries(-6, null), carries(null, -6), carries(null, null)]).toEqual(['left', 'right', 'nothing']);
    expect([carries(-6, -25.9), carries(-6, -26.1)]).toEqual(['left and right', 'left']);
    expect([carries(-25.9, -6), carries(-26.1, -6)]).toEqual(['left and right', 'right']);
  });

  it('miss only sweeps that a channel could carry, and that no voice covered.', () => {
    const missing = ['sweep left', 'sweep right', 'ladder bass'];
    const ids = (...faults: Partial<ChannelFaults>[]) =>
      factsOf(
        faults.map((part) => ({ faults: part })),
        { missing },
      ).missingSections;
    const right = { levelsDbFs: { left: null, right: -6 } };
    expect(ids({})).toEqual(['sweep left', 'ladder bass']);
    expect(ids(right)).toEqual(['sweep right', 'ladder bass']);
    expect(ids({ levelsDbFs: { left: -6, right: -6 } })).toEqual(missing);
    expect(ids({}, right)).toEqual(missing);
    const voice = { section: 'ladder bass', fromSeconds: 1, toSeconds: 2 } as const;
    expect(ids({ announcements: [voice] })).toEqual(['sweep left']);
  });

  it('name the lowest drive at which the recorder clips, within 0.02 dB of its peak.', () => {
    const clipped = (peakDbFs: number, steps: readonly Partial<LadderStep>[], clippedRuns = 9) =>
      one({
        channel: {
          ladders: [ladderOf(steps)],
          recorder: { peakDbFs, clippedRuns, dcOffset: 0, clockPpm: 0 },
        },
      });
    const steps = [-6, -3, 0].map((driveDbFs) => ({ driveDbFs, peakDbFs: Math.min(-0.01, driveDbFs + 3) }));
    expect(clipped(-0.01, steps).clippedFromDriveDbFs).toBe(-3);
    expect(clipped(0.5, steps).clippedFromDriveDbFs).toBe(-3);
    expect(clipped(-0.01, steps, 0).clippedFromDriveDbFs).toBeNull();
    expect(clipped(-0.01, [{ driveDbFs: 0, peakDbFs: -0.04 }]).clippedFromDriveDbFs).toBeNull();
    expect(clipped(-0.01, [{ driveDbFs: 0, peakDbFs: -0.028 }]).clippedFromDriveDbFs).toBe(0);
    expect(one({ faults: { sweepsClipped: 2 } }).sweepsClipped).toBe(2);
  });

  it('know a channel that holds another’s signal, where both carry something and the same.', () => {
    const same = noise(5);
    const pair = (first: Partial<ChannelFaults>, second: Partial<ChannelFaults>, other = same) =>
      factsOf([
        { samples: same, faults: first },
        { samples: other, faults: second },
      ]).channels.map(({ sameAsTapId }) => sameAsTapId);
    expect(pair({}, {})).toEqual([null, 'tap-0']);
    expect(pair({}, {}, noise(6))).toEqual([null, null]);
    const nothing = { levelsDbFs: { left: null, right: null } };
    expect(pair(nothing, nothing)).toEqual([null, null]);
    expect(pair({}, { levelsDbFs: { left: null, right: -6 } })).toEqual([null, null]);
  });

  it('call a channel still that holds one value in either pause, from 0.4 to 0.05 s before a sweep.', () => {
    const held = (fromSeconds: number, toSeconds: number) => {
      const samples = noise(1);
      samples.fill(0.125, Math.round((START + fromSeconds) * RATE), Math.round((START + toSeconds) * RATE));
      return one({ samples }).isStill ?? false;
    };
    expect([held(0.1, 0.45), held(0.7, 1.05)]).toEqual([true, true]);
    expect([held(0.11, 0.45), held(0.1, 0.44), held(0.75, 1.05)]).toEqual([false, false, false]);
  });

  it('join what is said within 0.8 s, and leave out knocks that are its words.', () => {
    const said = [
      { section: 'sweep right', fromSeconds: 13.104, toSeconds: 14.3 },
      { section: 'sweep left', fromSeconds: 10, toSeconds: 11 },
      { section: 'sweep left', fromSeconds: 11.7, toSeconds: 12.4 },
      { section: 'silence', fromSeconds: 16, toSeconds: 17 },
    ] as const;
    const knocksAt = (...seconds: number[]) =>
      seconds.map((atSeconds) => ({ section: 'silence' as const, atSeconds, spoiltHz: null }));
    const found = one({
      faults: { announcements: said, knocks: knocksAt(9.1, 9.3, 12, 15.05, 15.151, 17.79, 17.812) },
    });
    expect(found.announcements).toEqual([
      { fromSeconds: 10, toSeconds: 14.3, sections: ['sweep left', 'sweep right'] },
      { fromSeconds: 16, toSeconds: 17, sections: ['silence'] },
    ]);
    expect(found.knocks.map(({ atSeconds }) => atSeconds)).toEqual([9.1, 15.15, 17.81]);
    const within = one({
      faults: { announcements: [said[1], { ...said[1], fromSeconds: 10.2, toSeconds: 10.4 }] },
    });
    expect(within.announcements).toEqual([{ fromSeconds: 10, toSeconds: 11, sections: ['sweep left'] }]);
  });
});

describe('one gain along the middle ladder', () => {
  const spread = (...steps: Partial<LadderStep>[]) =>
    ladderSpreadDb([ladderOf([{ levelDbFs: -40 }], 55), ladderOf(steps)]);

  it('is told by how far its clean steps stand apart.', () => {
    expect(spread({}, { driveDbFs: -10, levelDbFs: -15.6 })).toBeCloseTo(0.4, 9);
    expect(spread({}, { driveDbFs: -10, levelDbFs: -16.7 }, {})).toBeCloseTo(0.7, 9);
    expect(spread({})).toBeNull();
    expect(ladderSpreadDb([])).toBeNull();
  });

  it('does not count steps that distort, lie in noise, or come near the recorder’s limit.', () => {
    const odd = { driveDbFs: -20, levelDbFs: -24 };
    const counts = (part: Partial<LadderStep>) => spread({}, {}, { ...odd, ...part }) === 2;
    expect([counts({ thd: 0.0029 }), counts({ thd: 0.0031 })]).toEqual([true, false]);
    expect(counts({ thd: 0.0039, thdNoise: 0.001 })).toBe(true);
    expect([counts({ levelSigmaDb: 0.029 }), counts({ levelSigmaDb: 0.031 })]).toEqual([true, false]);
    expect([counts({ peakDbFs: -1.1 }), counts({ peakDbFs: -0.9 })]).toEqual([true, false]);
    const hidden = (driveDbFs: number) =>
      counts({ driveDbFs, levelDbFs: driveDbFs - 4, thdBeforeFilters: null });
    expect([hidden(-12), hidden(-11.5)]).toEqual([true, false]);
  });
});

it('the print of a take is its hiss, 0.15 s into the silence; none without a channel', () => {
  const samples = noise(9);
  const reader = (channels: readonly number[], of = samples) =>
    takeReader({
      sound: memorySound({ sampleRateHz: RATE, channels: [of] }),
      take: { track: TRACK, startSeconds: START, score: 3, missing: [] },
      channels,
    });
  const first = Math.round((START + 1.5 + 0.15) * RATE);
  const expected = samples[first] - 2 * samples[first + 1] + samples[first + 2];
  expect(takePrint(reader([0]))![0]).toBeCloseTo(expected, 9);
  expect(takePrint(reader([]))).toBeNull();
  expect(takePrint(reader([0], samples.slice(0, first)))).toBeNull();
});
