import { beforeAll, describe, expect, test } from 'vitest';
import { seededRandom } from '../../src/dsp/random.ts';
import type { ChannelFacts, Remark } from '../../src/model/check.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { TapMeasurement } from '../../src/model/measurement.ts';
import { codeOf } from '../../src/model/reason.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { fullTrack, ladderStepStartSeconds, sectionOf } from '../../src/tones/track.ts';
import { thrown } from '../thrown.ts';
import { applyGain, knock, largestDifferenceDb, measuredSpoilt } from './spoilt.ts';

/** One take of a pair in a full track at setting 20; what is untouched must read as in the unspoilt recording. */
let good: ReturnType<typeof measuredSpoilt>;
let start: number;
beforeAll(() => {
  good = measuredSpoilt(() => {});
  start = good.facts[0].takeStartSeconds;
});

const codes = (remarks: readonly Remark[]) => [...new Set(remarks.map(({ reason }) => codeOf(reason)))];
const left = ({ measurements }: { measurements: readonly TapMeasurement[] }) => measurements[0];
const leftFacts = ({ facts }: { facts: readonly { channels: ChannelFacts[] }[] }) => facts[0].channels[0];

describe('a take without fault', () => {
  test('is remarked on with nothing', () => expect(good.remarks).toEqual([]));
});

describe('what the recorder does', () => {
  test('clipping is told with the drive from which on it is not used', () => {
    const spoilt = measuredSpoilt(({ channels }) => {
      for (const channel of channels)
        for (let n = 0; n < channel.length; n++)
          channel[n] = Math.max(-1, Math.min(1 - 2 ** -23, 10 * channel[n]));
    });
    expect(codes(spoilt.remarks)).toEqual(['recorder clipped on the ladder']);
    // Level of a full-scale sine at 20 is 7 dB above 10 times the recorder's full scale: see the unspoilt level.
    const onset = -(leftFacts(good).levelDbFs! + 20);
    const from = leftFacts(spoilt).clippedFromDriveDbFs!;
    expect(from).toBeGreaterThanOrEqual(onset - 0.2);
    expect(from).toBeLessThanOrEqual(onset + 1.1);
    expect(largestDifferenceDb(left(spoilt).left, left(good).left, [20, 19_000])).toBeCloseTo(20, 1);
  });

  test('automatic gain that fell by 3 dB during the take is told, and no frequency claims more than it knows', () => {
    const spoilt = measuredSpoilt((recording) => {
      for (const channel of recording.channels)
        applyGain(channel, recording, (t) => 10 ** ((-3 * Math.min(1, Math.max(0, t - start) / 34)) / 20));
    });
    expect(codes(spoilt.remarks)).toEqual(['gain changed within the take']);
    expect(leftFacts(spoilt).gainChangeDb!.value).toBeGreaterThan(-3);
    expect(leftFacts(spoilt).gainChangeDb!.value).toBeLessThan(-2);
    expect(left(spoilt).left.trustedHz).toBeNull();
  });

  test('a supply that sags by 0.8 dB in the second half is told with its size', () => {
    const spoilt = measuredSpoilt((recording) => {
      for (const channel of recording.channels)
        applyGain(channel, recording, (t) => (t > start + 21 ? 10 ** (-0.8 / 20) : 1));
    });
    expect(codes(spoilt.remarks)).toEqual(['gain changed within the take']);
    expect(Math.abs(leftFacts(spoilt).gainChangeDb!.value + 0.8)).toBeLessThan(0.05);
  });

  test('a gain that follows the level shows along the ladder', () => {
    const middle = sectionOf(fullTrack, 'ladder', 'ladder middle')!;
    const from = start + middle.startSeconds;
    const spoilt = measuredSpoilt((recording) => {
      for (const channel of recording.channels)
        applyGain(channel, recording, (t) =>
          t < from || t > from + middle.durationSeconds
            ? 1
            : 10 ** ((-2 * (t - from)) / middle.durationSeconds / 20),
        );
    });
    expect(codes(spoilt.remarks)).toEqual(['gain differs along the ladder']);
    expect(leftFacts(spoilt).ladderSpreadDb!).toBeGreaterThan(1.5);
  });

  test('an offset of 5 % of full scale is told and changes no level', () => {
    const spoilt = measuredSpoilt(({ channels }) => {
      for (const channel of channels) for (let n = 0; n < channel.length; n++) channel[n] += 0.05;
    });
    expect(codes(spoilt.remarks)).toEqual(['offset at the recorder']);
    expect(leftFacts(spoilt).dcOffset).toBeCloseTo(0.05, 4);
    expect(largestDifferenceDb(left(spoilt).left, left(good).left, [20, 19_000])).toBeLessThan(0.02);
  });

  test('a recorder gain 60 dB too low is told', () => {
    const spoilt = measuredSpoilt((recording) => {
      for (const channel of recording.channels) applyGain(channel, recording, () => 1e-3);
    });
    expect(codes(spoilt.remarks)).toEqual(['low level']);
  });

  test('one input on both channels, or mono, is told by the noise that they share', () => {
    const spoilt = measuredSpoilt((recording) => {
      recording.channels[1] = recording.channels[0].slice();
    });
    expect(codes(spoilt.remarks)).toContain('same signal as another output');
    expect(spoilt.facts[0].channels[1].sameAsTapId).toBe('front-left');
  });

  test('two taps that carry the same programme are not taken for one channel twice', () => {
    const scenario = exampleScenario('flat full range', {
      settings: [20],
      track: 'response only',
      taps: [
        { id: 'front-left', side: 'left' },
        { id: 'rear-left', side: 'left' },
      ],
    });
    expect(measuredSpoilt(() => {}, scenario).remarks).toEqual([]);
  });
});

describe('the wiring', () => {
  test('channels swapped against the notes are told', () => {
    const spoilt = measuredSpoilt((recording) => {
      recording.channels.reverse();
    });
    expect(codes(spoilt.remarks)).toEqual(['channels swapped']);
  });

  test.each([
    ['of nothing but zeros', () => 0],
    ['of hiss', () => 1e-4],
  ])('a dead channel %s is told', (_, rms) => {
    const random = seededRandom(5);
    const spoilt = measuredSpoilt(({ channels }) => {
      for (let n = 0; n < channels[1].length; n++) channels[1][n] = rms() * random.gaussian();
    });
    expect(codes(spoilt.remarks)).toEqual(['nothing on this channel']);
    expect(spoilt.facts[0].channels[1].carries).toBe('nothing');
    expect(largestDifferenceDb(left(spoilt).left, left(good).left, [20, 19_000])).toBeLessThan(1e-3);
  });

  test('fewer channels than the session lists are refused with both counts', () => {
    const error = thrown(() =>
      measuredSpoilt((recording) => {
        recording.channels.pop();
      }),
    );
    expect([error.code, error.parts.expected, error.parts.found]).toEqual([
      'session-field',
      expect.stringContaining('2'),
      '1',
    ]);
  });
});

describe('the radio', () => {
  test.each([
    ['muted', (t: number) => (t < 4 ? 0 : 1)],
    ['faded in', (t: number) => Math.min(1, (t / 4) ** 4)],
  ])('still %s when the track begins: the bass of the left sweep is not trusted, all else is', (_, gain) => {
    const spoilt = measuredSpoilt((recording) => {
      for (const channel of recording.channels) applyGain(channel, recording, (t) => gain(t - start));
    });
    expect(codes(spoilt.remarks)).toContain('muted at the start');
    // The sweep passes 238 Hz four seconds after the track's start: 10 Hz x 2000^(2.5 / 6).
    expect(leftFacts(spoilt).mutedUpToHz!).toBeGreaterThan(200);
    expect(leftFacts(spoilt).mutedUpToHz!).toBeLessThan(330);
    expect(left(spoilt).left.trustedHz![0]).toBeGreaterThan(200);
    expect(largestDifferenceDb(left(spoilt).left, left(good).left, [400, 19_000])).toBeLessThan(0.02);
    expect(
      largestDifferenceDb(spoilt.measurements[1].right, good.measurements[1].right, [20, 19_000]),
    ).toBeLessThan(0.02);
  });
});

describe('knocks', () => {
  test.each([80, 1000, 6000])(
    'in the sweep as it passes %d Hz: told with section and time, the rest is as before',
    (hz) => {
      const atSeconds = start + 1.5 + (6 * Math.log(hz / 10)) / Math.log(2000);
      const spoilt = measuredSpoilt(({ channels, sampleRateHz }) => {
        for (const channel of channels) knock(channel, { sampleRateHz, atSeconds, peak: 0.03 });
      });
      const [told] = leftFacts(spoilt).knocks;
      expect(told.section).toBe('sweep left');
      expect(Math.abs(told.atSeconds - atSeconds)).toBeLessThan(0.06);
      const [low, high] = told.spoiltHz!;
      expect(low).toBeLessThan(1.1 * hz);
      expect(high).toBeGreaterThan(0.9 * hz);
      for (const band of [
        [20, 0.5 * low],
        [2 * high, 19_000],
      ] as const)
        expect(largestDifferenceDb(left(spoilt).left, left(good).left, band)).toBeLessThan(0.05);
      // Where it struck, the uncertainty covers the error.
      const [a, b] = [left(spoilt).left, left(good).left];
      gridFrequencyHz.forEach((at, i) => {
        if (at < 20 || at > 19_000) return;
        expect(Math.hypot(a.real[i] - b.real[i], a.imag[i] - b.imag[i]), `${at} Hz`).toBeLessThan(
          5 * Math.hypot(a.sigma[i], b.sigma[i]),
        );
      });
    },
  );

  test('in a ladder step: told, and that step is left out', () => {
    const ladder = sectionOf(fullTrack, 'ladder', 'ladder bass')!;
    const step = ladder.driveDbFs.indexOf(-6);
    const atSeconds = start + ladderStepStartSeconds(ladder, step) + 0.09;
    const spoilt = measuredSpoilt(({ channels, sampleRateHz }) =>
      knock(channels[0], { sampleRateHz, atSeconds, peak: 0.03 }),
    );
    expect(leftFacts(spoilt).knocks.map(({ section }) => section)).toEqual(['ladder bass']);
    const drives = left(spoilt).ladders[0].steps.map(({ driveDbFs }) => driveDbFs);
    expect(drives).not.toContain(-6);
    expect(drives.length).toBe(ladder.driveDbFs.length - 1);
  });

  test('under the quiet tone: told, and the noise reads as without it', () => {
    const spoilt = measuredSpoilt(({ channels, sampleRateHz }) =>
      knock(channels[0], { sampleRateHz, atSeconds: start + 38.9, peak: 0.02 }),
    );
    expect(leftFacts(spoilt).knocks.map(({ section }) => section)).toEqual(['quiet tone']);
    expect(Math.abs(leftFacts(spoilt).noiseDbFs! - leftFacts(good).noiseDbFs!)).toBeLessThan(0.3);
  });
});
