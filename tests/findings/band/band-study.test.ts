import { expect, test } from 'vitest';
import { findBand } from '../../../src/findings/band/band.ts';
import { fitTap } from '../../../src/findings/band/fitted-tap.ts';
import { type ExactTap, exactMeasurement, seeded } from '../exact-responses.ts';

const PROTOTYPES = [
  ['butterworth', 1],
  ['butterworth', 2],
  ['butterworth', 3],
  ['butterworth', 4],
  ['butterworth', 8],
  ['linkwitz-riley', 2],
  ['linkwitz-riley', 4],
  ['linkwitz-riley', 8],
  ['bessel', 2],
  ['bessel', 3],
  ['bessel', 4],
] as const;

// A short form of the accuracy study: random low-passes, high-passes, band-passes and full-range taps, up to two peaks each.
test('over 32 random taps at 50 dB nothing false is claimed, and 95 of 100 named corners lie within 2 %', () => {
  const random = seeded(2026);
  const pick = <Value>(values: readonly Value[]): Value => values[Math.floor(random() * values.length)];
  const errors: number[] = [];
  let edges = 0;
  let slopes = 0;
  for (let i = 0; i < 32; i++) {
    const tap = randomTap(random, pick);
    const measurements = [exactMeasurement({ tapId: 't', left: tap, snrDb: 50, random })];
    const band = findBand(fitTap({ tapId: 't', carries: 'left', measurements, ceilingHz: null }));
    expect(band.verdict, `case ${i}`).toBe(tap.edges!.length === 0 ? 'full range' : 'band-limited');
    for (const [found, side] of [
      [band.lowEdge, 'high-pass'],
      [band.highEdge, 'low-pass'],
    ] as const) {
      const truth = tap.edges!.find((edge) => edge.side === side);
      expect(found === null, `case ${i}, ${side}`).toBe(truth === undefined);
      if (found === null || truth === undefined) continue;
      edges++;
      if (typeof found.slopeDbPerOctave === 'number') {
        slopes++;
        expect(found.slopeDbPerOctave, `case ${i}, ${side}`).toBe(6 * truth.order);
      }
      if ('family' in found.filter) {
        expect(found.filter, `case ${i}, ${side}`).toMatchObject({
          family: truth.family,
          order: truth.order,
        });
        errors.push(Math.abs(found.filter.cornerHz.value / truth.cornerHz - 1));
      }
    }
  }
  errors.sort((a, b) => a - b);
  expect(errors.length).toBeGreaterThan(0.7 * edges);
  expect(slopes).toBeGreaterThan(0.85 * edges);
  expect(errors[Math.floor(0.95 * errors.length)]).toBeLessThan(0.02);
});

function randomTap(random: () => number, pick: <Value>(values: readonly Value[]) => Value): ExactTap {
  const cornerHz = 40 * 125 ** random();
  const kind = pick(['low-pass', 'high-pass', 'band-pass', 'full range'] as const);
  const edge = (side: 'low-pass' | 'high-pass', hz: number) => {
    const [family, order] = pick(PROTOTYPES);
    return { side, family, order, cornerHz: hz };
  };
  const low = Math.min(cornerHz, 800);
  const edges =
    kind === 'full range'
      ? []
      : kind === 'band-pass'
        ? [edge('high-pass', low), edge('low-pass', low * (4 + 4 * random()))]
        : [edge(kind, cornerHz)];
  const eq = Array.from({ length: Math.floor(3 * random()) }, () => ({
    kind: 'peak' as const,
    frequencyHz: 40 * 250 ** random(),
    gainDb: (random() < 0.5 ? -1 : 1) * (2 + 4 * random()),
    q: 0.7 + 2 * random(),
  }));
  return {
    edges,
    eq,
    delaySeconds: 0.002 + 0.008 * random(),
    inverted: random() < 0.3,
    sampleRateHz: pick([48_000, 44_100, null]),
  };
}
