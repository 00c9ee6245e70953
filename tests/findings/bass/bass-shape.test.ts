import { expect, test } from 'vitest';
import { evaluateOnGrid, lowShelfSections, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import { highPassDb, shelfOfCorners } from '../../../src/findings/bass/bass-fit.ts';
import { pass, shelf } from '../synthetic.ts';
import { climbing, shapeOf } from './shape-of.ts';

test('a growing shelf on a flat radio is a shelf, with its frequency and depth', () => {
  for (const snrDb of [70, 60, 50, 40]) {
    const shape = shapeOf((setting) => [shelf(80, -Math.max(0, setting - 18) * 0.75)], { snrDb });
    expect(shape?.model, `${snrDb} dB`).toBe('shelf');
    const last = shape!.perSetting.find(({ setting }) => setting === 30)!.shelf!;
    expect(last.frequencyHz / 80).toBeCloseTo(1, 1);
    expect(last.gainDb).toBeCloseTo(-9, 0);
  }
});

test.each([0.5, 1])('a growing shelf of Q %f is a shelf, with its frequency, depth and Q', (q) => {
  const sections = (setting: number) => lowShelfSections({ gainDb: -Math.max(0, setting - 18), q });
  for (const snrDb of [60, 50, 40]) {
    const shape = shapeOf((setting) => [{ sections: sections(setting), cornerHz: 110 }], { snrDb });
    expect(shape?.model, `${snrDb} dB`).toBe('shelf');
    const last = shape!.perSetting.find(({ setting }) => setting === 30)!.shelf!;
    expect(Math.abs(last.frequencyHz / 110 - 1)).toBeLessThan(0.02);
    expect(Math.abs(last.gainDb + 12)).toBeLessThan(0.3);
    expect(Math.abs(last.q! - q)).toBeLessThan(0.05);
  }
});

test('order-2 high-passes at 30 and 90 Hz differ by a shelf of 52 Hz and -19.1 dB, exactly', () => {
  // Closed form: (w1/w2)^2 of depth around sqrt(w1 w2).
  const { frequencyHz, gainDb } = shelfOfCorners(2, { fromHz: 30, cornerHz: 90 });
  expect(frequencyHz).toBeCloseTo(51.96, 2);
  expect(gainDb).toBeCloseTo(-19.08, 2);
});

test('an order-2 high-pass that climbs from a corner of the radio’s own cannot be told from a shelf', () => {
  const shape = shapeOf(climbing(2, 'butterworth', 30));
  expect(shape?.model).toBe('shelf or high-pass');
  const { shelf: asShelf, highPass } = shape!.perSetting.find(({ setting }) => setting === 30)!;
  expect(asShelf!.frequencyHz).toBeCloseTo(Math.sqrt(30 * 95), 0);
  expect(highPass).toMatchObject({ family: 'butterworth', order: 2 });
  expect(highPass!.cornerHz).toBeCloseTo(95, 0);
  expect(highPass!.fromHz).toBeCloseTo(30, 0);
});

test.each([
  [1, 'butterworth'],
  [2, 'butterworth'],
  [4, 'butterworth'],
  [4, 'linkwitz-riley'],
] as const)('a high-pass of order %i (%s) from nothing is told from a shelf', (order, family) => {
  const shape = shapeOf(climbing(order, family, null));
  expect(shape?.model).toBe('high-pass');
  const { highPass } = shape!.perSetting.find(({ setting }) => setting === 30)!;
  expect(highPass).toMatchObject({ order, family });
  expect(highPass!.cornerHz / 95).toBeCloseTo(1, 1);
});

test('an order-4 high-pass is told from a shelf also where its base corner is the radio’s own', () => {
  expect(shapeOf(climbing(4, 'butterworth', 30))?.model).toBe('high-pass');
});

test('a small loss of a tap whose own high-pass leaves room for either is left open', () => {
  const own = pass('high-pass', 150, { order: 3, family: 'butterworth' });
  for (let seed = 1; seed <= 5; seed++) {
    const lossOf = (setting: number) =>
      lowShelfSections({ gainDb: -Math.max(0, setting - 26) * 0.575, q: 0.85 });
    const shape = shapeOf((setting) => [own, { sections: lossOf(setting), cornerHz: 76 }], { seed });
    expect(shape?.model).toBe('shelf or high-pass');
  }
});

test('the closed form of the high-passes agrees with their prototypes', () => {
  const frequencyHz = Float64Array.of(20, 40, 80, 160, 320);
  for (const model of [
    { family: 'butterworth', order: 3 },
    { family: 'linkwitz-riley', order: 4 },
  ] as const) {
    const sections = prototypeSections({ ...model, side: 'high-pass' });
    const { real, imag } = evaluateOnGrid(sections, { frequencyHz, cornerHz: 80, sampleRateHz: null });
    highPassDb(model, 80, frequencyHz).forEach((levelDb, i) => {
      expect(levelDb).toBeCloseTo(20 * Math.log10(Math.hypot(real[i], imag[i])), 9);
    });
  }
});
