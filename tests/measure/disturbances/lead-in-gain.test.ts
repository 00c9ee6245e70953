import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../src/dsp/random.ts';
import { lacksLeadIn, leadInExcessDb } from '../../../src/measure/disturbances/lead-in-gain.ts';
import { takeReader } from '../../../src/measure/take-reader.ts';
import { magnitudeCurve } from '../../../src/model/response.ts';
import { fullTrack, type Section, sectionOf } from '../../../src/tones/track.ts';
import { memorySound } from '../../memory-sound.ts';
import { exactResponse } from '../exact-response.ts';

const RATE = 16_000;
const START = 0.5;
const LEAD_IN = sectionOf(fullTrack, 'tones', 'lead-in')!;

/** The lead-in at half its drive, each tone with a gain of its own against what the sweeps say. */
function heard(of: {
  middleDb?: number;
  trebleDb?: number;
  noise?: number;
  ppm?: number;
  startSeconds?: number;
  sections?: readonly Section[];
  gain?: number;
}) {
  const { middleDb = 0, trebleDb = 0, noise = 1e-7, ppm = 0, startSeconds = START, gain = 0.5 } = of;
  const random = seededRandom(4);
  const db = [0, middleDb, trebleDb];
  const drive = 10 ** (LEAD_IN.driveDbFs / 20);
  const samples = Float32Array.from({ length: 3 * RATE }, (_, n) => {
    const seconds = (n / RATE - startSeconds) / (1 + ppm * 1e-6);
    const inside = seconds >= 0 && seconds < LEAD_IN.durationSeconds;
    return LEAD_IN.tonesHz.reduce(
      (sum, hz, i) =>
        sum + (inside ? 0.5 * drive * 10 ** (db[i] / 20) * Math.sin(2 * Math.PI * hz * seconds) : 0),
      noise * random.gaussian(),
    );
  });
  const reader = takeReader({
    sound: memorySound({ sampleRateHz: RATE, channels: [samples] }),
    take: {
      track: { ...fullTrack, sections: of.sections ?? [LEAD_IN] },
      startSeconds,
      score: 3,
      missing: [],
    },
    channels: [0],
    clockPpm: ppm,
  });
  return [reader, { i: 0, curve: magnitudeCurve([exactResponse({ gain })]) }] as const;
}
const excess = (of: Parameters<typeof heard>[0] = {}) => leadInExcessDb(...heard(of));
const lacks = (of: Parameters<typeof heard>[0] = {}) => lacksLeadIn(...heard(of));

describe('the quiet lead-in against what the sweeps say', () => {
  it('is as loud, or by so much louder as a gain raised it: the least of 997 and 6007 Hz.', () => {
    expect(excess()).toBeCloseTo(0, 2);
    expect(excess({ middleDb: 6, trebleDb: 9 })).toBeCloseTo(6, 2);
    expect(excess({ middleDb: 9, trebleDb: 6 })).toBeCloseTo(6, 2);
    expect(excess({ middleDb: -3, trebleDb: 2 })).toBeCloseTo(-3, 2);
    expect(excess({ gain: 1 })).toBeCloseTo(20 * Math.log10(0.5), 2);
  });

  it('is read at the tones by the recorder’s clock.', () => {
    // 300 ppm of 6007 Hz are 1.8 Hz: three quarters of a cycle within 0.4 s.
    expect(excess({ ppm: 300 })).toBeCloseTo(0, 2);
  });

  it('is not told where no tone stands ten times above what lies 12.5 and 25 Hz beside it.', () => {
    expect(excess({ noise: 0.003 })).not.toBeNull();
    expect(excess({ noise: 0.05 })).toBeNull();
  });

  it('is not told where there is none, or where the recording began within it.', () => {
    expect(excess({ sections: [] })).toBeNull();
    expect(excess({ startSeconds: -0.55 })).toBeCloseTo(0, 1);
    expect(excess({ startSeconds: -0.65 })).toBeNull();
  });

  it('is lacking where every tone that should be heard is 1 dB too quiet.', () => {
    expect([lacks(), lacks({ middleDb: -1.1, trebleDb: -1.1 })]).toEqual([false, true]);
    expect([lacks({ middleDb: -0.9, trebleDb: -9 }), lacks({ middleDb: -1.1, trebleDb: 0 })]).toEqual([
      false,
      false,
    ]);
    expect(lacks({ middleDb: -99, trebleDb: -99 })).toBe(true);
    expect(lacks({ middleDb: -99, trebleDb: -99, noise: 0.05 })).toBe(false);
    expect(lacks({ sections: [] })).toBe(false);
  });
});
