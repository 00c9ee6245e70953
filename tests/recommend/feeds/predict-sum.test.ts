import { describe, expect, it } from 'vitest';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { flatnessOf } from '../../../src/recommend/feeds/flatness.ts';
import { flooredDb, magnitudes, predictSum } from '../../../src/recommend/feeds/predict-sum.ts';
import { gainDb, planInput, type SyntheticTap } from '../synthetic.ts';

function sumOf(taps: readonly SyntheticTap[]): Float64Array {
  const { measurements } = planInput({ taps, settings: [20], volts: { at: 20, rms: 1 } });
  const parts = measurements.map((measurement) => ({
    measurement,
    tap: { tapId: measurement.tapId, polarity: 'as wired' as const, trimDb: 0, delaySeconds: 0 },
  }));
  return flooredDb(magnitudes(predictSum({ parts, programme: 'left' })));
}

const flatTap = (id: string, more: Partial<SyntheticTap> = {}): SyntheticTap => ({
  id,
  side: 'left',
  position: 'front',
  ...more,
});
const turned = (degrees: number) => () => ({
  real: Math.cos((degrees * Math.PI) / 180),
  imag: Math.sin((degrees * Math.PI) / 180),
});

// |1 + exp(j phi)| = 2 |cos(phi / 2)|: closed form; the rows are the usual table of phasor sums.
describe('two equal taps at an angle', () => {
  it.each([
    [0, 6.0206],
    [30, 5.7195],
    [60, 4.7712],
    [90, 3.0103],
    [120, 0],
    [135, -2.3226],
    [150, -5.7195],
    [170, -15.1735],
  ])('add to what phasors add to at %d degrees', (degrees, db) => {
    expect(sumOf([flatTap('a'), flatTap('b', { response: turned(degrees) })])[200]).toBeCloseTo(db, 3);
  });
});

// Unequal levels, in phase and in antiphase, against the larger: 20 log10(1 +- 10^(-d/20)) (closed form).
describe('two taps of unequal level', () => {
  it.each([
    [0.5, 5.7742, -25.0457],
    [3, 4.6495, -10.6907],
    [6, 3.5287, -6.0412],
    [20, 0.8279, -0.9151],
  ])('%d dB apart add and cancel as the closed form says', (apart, added, cancelled) => {
    const weaker = flatTap('b', { response: () => gainDb(-apart) });
    const opposed = flatTap('b', { response: () => ({ real: -(10 ** (-apart / 20)), imag: 0 }) });
    expect(sumOf([flatTap('a'), weaker])[200]).toBeCloseTo(added, 3);
    expect(sumOf([flatTap('a'), opposed])[200]).toBeCloseTo(cancelled, 3);
  });
});

// A pair d seconds apart nulls at (2n + 1) / (2 d) (closed form; 1 ms: 500, 1500, 2500 Hz).
it('puts the nulls of a late tap where its delay says', () => {
  const sum = sumOf([flatTap('a'), flatTap('b', { delaySeconds: 1e-3 })]);
  for (const hz of [500, 1500, 2500]) {
    const near = [...gridFrequencyHz.keys()].filter((i) => Math.abs(gridFrequencyHz[i] / hz - 1) < 0.02);
    expect(Math.min(...near.map((i) => sum[i]))).toBeLessThan(-20);
  }
});

it('takes trims and delays of the converter into the sum', () => {
  const { measurements } = planInput({
    taps: [flatTap('a', { delaySeconds: 2e-4 }), flatTap('b', { response: () => gainDb(3) })],
    settings: [20],
    volts: { at: 20, rms: 1 },
  });
  const [late, strong] = measurements;
  const sum = predictSum({
    programme: 'left',
    parts: [
      { measurement: late, tap: { tapId: 'a', polarity: 'inverted', trimDb: 0, delaySeconds: 0 } },
      { measurement: strong, tap: { tapId: 'b', polarity: 'inverted', trimDb: -3, delaySeconds: 2e-4 } },
    ],
  });
  for (const db of flooredDb(magnitudes(sum))) expect(db).toBeCloseTo(6.0206, 3);
});

it('judges a flat sum flat and a null a null', () => {
  const flat = new Float64Array(gridFrequencyHz.length);
  const notched = flat.map((_, i) => (Math.abs(gridFrequencyHz[i] / 1000 - 1) < 0.01 ? -50 : 0));
  const wantedHz = [30, 15_000] as const;
  expect(flatnessOf({ sumDb: flat, withoutCancellationDb: flat, wantedHz })).toMatchObject({
    rippleDb: 0,
    worstDipDb: 0,
  });
  const judged = flatnessOf({ sumDb: notched, withoutCancellationDb: flat, wantedHz });
  expect(judged).toMatchObject({ rippleDb: 50, worstDipDb: -50 });
  expect(judged.worstDipHz).toBeCloseTo(1000, -1);
});
