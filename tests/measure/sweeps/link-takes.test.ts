import { describe, expect, test } from 'vitest';
import { mergeRepeats } from '../../../src/measure/merge-repeats.ts';
import { delayBetween } from '../../../src/measure/sweeps/delay-between.ts';
import { linkTakes } from '../../../src/measure/sweeps/link-takes.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import { type FrequencyResponse, magnitudeDb } from '../../../src/model/response.ts';
import { exactResponse } from '../exact-response.ts';

function tap(
  tapId: string,
  of: { file: string; delaySeconds: number; gain?: number; seed?: number },
): TapMeasurement {
  return {
    tapId,
    setting: 20,
    evidence: [{ file: of.file, channel: 1, setting: 20, takeStartSeconds: 1 }],
    timeOrigin: of.file,
    left: exactResponse({ sigma: 1e-4, gain: 0.5, ...of }),
    right: exactResponse({ gain: 0, sigma: 1e-4 }),
    bothLowDrive: null,
    ladders: [],
    noise: null,
    recorder: { peakDbFs: -6, clippedRuns: 0, dcOffset: 0, clockPpm: 0 },
    voltsPerFullScale: null,
    supplyVolts: null,
    repeats: { count: 1, spreadDb: 0 },
  };
}

function delayOf(later: TapMeasurement, earlier: TapMeasurement): number {
  return delayBetween({ earlier: earlier.left, later: later.left })!.value;
}

describe('linkTakes', () => {
  const front = [
    tap('front', { file: 'a', delaySeconds: 0.001 }),
    tap('door', { file: 'a', delaySeconds: 0.0012 }),
  ];
  const rear = [
    tap('front', { file: 'b', delaySeconds: 0.02, seed: 4 }),
    tap('rear', { file: 'b', delaySeconds: 0.0205, seed: 5 }),
  ];
  const alone = [tap('sub', { file: 'c', delaySeconds: 0.03 })];

  test('arrivals chain through a shared tap to within a microsecond', () => {
    const linked = linkTakes([front, rear, alone], 'front');
    const byId = (id: string) => linked.filter(({ tapId }) => tapId === id);
    expect(byId('rear')[0].timeOrigin).toBe('a');
    // rear is 0.5 ms after front in its own file, and door 0.2 ms after front in the other.
    expect(Math.abs(delayOf(byId('rear')[0], byId('door')[0]) - 0.0003)).toBeLessThan(1e-6);
  });

  test('a take that shares no tap keeps a time origin of its own', () => {
    const linked = linkTakes([front, rear, alone], null);
    expect(linked.find(({ tapId }) => tapId === 'sub')!.timeOrigin).toBe('c');
  });

  test('a linking take joins two pairs that share nothing, in whatever order they come', () => {
    const second = [tap('rear', { file: 'd', delaySeconds: 0.05 })];
    const linking = [
      tap('rear', { file: 'e', delaySeconds: 0.0705 }),
      tap('front', { file: 'e', delaySeconds: 0.07 }),
    ];
    const linked = linkTakes([front, second, linking], null);
    expect(new Set(linked.map(({ timeOrigin }) => timeOrigin))).toEqual(new Set(['a']));
    const ofFile = (file: string, id: string) =>
      linked.find((m) => m.tapId === id && m.evidence[0].file === file)!;
    expect(Math.abs(delayOf(ofFile('d', 'rear'), ofFile('a', 'front')) - 0.0005)).toBeLessThan(2e-6);
  });

  test('repeats become one measurement that names both takes and states their spread', () => {
    const quieter = [tap('front', { file: 'b', delaySeconds: 0.02, gain: 0.48 })];
    const [merged, door, ...more] = mergeRepeats(linkTakes([front, quieter], 'front'));
    expect(more).toEqual([]);
    expect(door.tapId).toBe('door');
    expect(merged.repeats.count).toBe(2);
    expect(merged.evidence.map(({ file }) => file)).toEqual(['a', 'b']);
    expect(merged.repeats.spreadDb).toBeCloseTo(20 * Math.log10(0.49 / 0.48), 1);
    expect(magnitudeDb(merged.left)[300]).toBeCloseTo(20 * Math.log10(0.49), 2);
    const phase = ({ real, imag }: FrequencyResponse) => Math.atan2(imag[100], real[100]);
    expect(Math.abs(phase(merged.left) - phase(front[0].left))).toBeLessThan(1e-3);
  });
});
