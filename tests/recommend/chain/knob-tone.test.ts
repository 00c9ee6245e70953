import { describe, expect, it } from 'vitest';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { knobTone } from '../../../src/recommend/chain/knob-tone.ts';
import type { SolvedFeed } from '../../../src/recommend/chain/solved-feed.ts';
import { bassDb } from './context.ts';
import { parts, solve, volts } from './solved-parts.ts';

const { context, solved } = solve();
const levelOf = (db: (hz: number) => number) => gridFrequencyHz.map((hz) => 8 * 10 ** (db(hz) / 20));
const toneOf = (part: Partial<SolvedFeed>) => knobTone(context, { ...solved, ...part })!;
const HIGH_PASS = { type: 'high-pass', slopeDbPerOctave: 24 } as const;

describe('the tone that a knob is set by', () => {
  it('is the lowest of its output’s that lies within 6 dB of the strongest, behind the filters.', () => {
    const hz = (part: Partial<SolvedFeed>) => toneOf(part).toneHz;
    expect(hz({})).toBe(100);
    expect(hz({ output: 'subwoofer' })).toBe(55);
    expect(hz({ tapLevel: levelOf((f) => (f < 500 ? -5.9 : 0)) })).toBe(100);
    expect(hz({ tapLevel: levelOf((f) => (f < 500 ? -6.1 : 0)) })).toBe(997);
    expect(hz({ equalizerDb: bassDb(-6.1) })).toBe(997);
    // Order 4 at 150 Hz takes at least 10 log10(1 + 1.5^8) = 14 dB from 100 Hz; at 80 Hz 0.7 dB.
    expect(hz({ filters: [{ ...HIGH_PASS, cornerHz: 150 }] })).toBe(997);
    expect(hz({ filters: [{ ...HIGH_PASS, cornerHz: 80 }] })).toBe(100);
    expect(hz({ filters: [{ ...HIGH_PASS, cornerHz: 4000 }] })).toBeGreaterThan(2000);
    // None lies inside: the one that comes nearest.
    const only = levelOf((f) => (f > 900 && f < 1100 ? 0 : f < 70 ? -30 : -20));
    expect(hz({ output: 'subwoofer', tapLevel: only })).toBe(100);
  });

  it('plays as the overlap asks, and lower where it would take a stage past its limit with the filters out.', () => {
    const drive = (db: number, part: Partial<SolvedFeed> = {}) =>
      toneOf({ tapLevel: levelOf(() => db), ...part }).driveDbFs;
    // 8 V fill the line’s 4 V and the amplifier: whatever is louder is over both.
    expect([0, 3, 5.1, 9.9].map((db) => drive(db))).toEqual([0, -5, -10, -10]);
    // Half a percent (0.043 dB) still counts as at it.
    expect([drive(0.03), drive(0.06)]).toEqual([0, -5]);
    expect(drive(20)).toBe(-10);
    expect(drive(0, { equalizerDb: bassDb(3) })).toBe(-5);
    const roomy = { lineLimitVolts: 100 };
    expect(drive(3, roomy)).toBe(-5);
    const levels = { ...solved.levels, outputVolts: solved.levels.outputVolts! * 2 };
    expect(drive(3, { ...roomy, levels })).toBe(0);
    expect(drive(3, { levels })).toBe(-5);
    expect(drive(3, { levels, direct: true })).toBe(0);
    expect(drive(3, { ...roomy, levels: { ...levels, amplifierGain: null } })).toBe(0);
    const overlapped = { ...roomy, levels: { ...levels, gainOverlapDb: 5 } };
    expect([drive(0, overlapped), drive(9, overlapped)]).toEqual([-5, -5]);
  });

  it('is read at the node with its drive and the equaliser: 4 V less 4 dB less 5 dB.', () => {
    const overlapped = solve(
      { equipment: parts({ gainOverlapDb: 5 }) },
      { equalizerDb: bassDb(-4), boostDb: bassDb(1) },
    );
    const { reading } = overlapped.node('converter output')!.knob!;
    expect(reading).toMatchObject({ toneHz: 100, driveDbFs: -5, restoration: 'off', tolerancePercent: 5 });
    const value = 4 * 10 ** (-9 / 20);
    expect(reading!.voltsRms).toMatchObject({
      value: expect.closeTo(value, 6),
      plusMinus: expect.closeTo(value * 0.05, 6),
    });
    expect(volts(overlapped.node('converter output'))).toBeCloseTo(4, 6);
  });
});
