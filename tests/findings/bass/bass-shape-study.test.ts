import { expect, test } from 'vitest';
import { lowShelfSections } from '../../../src/dsp/filter-prototype.ts';
import { type Filter, pass, shelf } from '../synthetic.ts';
import { seededRandom } from '../synthetic-noise.ts';
import { climbing, shapeOf } from './shape-of.ts';

test('noise never turns one shape into the other: 60 radios at 30 to 60 dB', () => {
  for (let seed = 1; seed <= 30; seed++) {
    const random = seededRandom(seed);
    const snrDb = 30 + 30 * random();
    const frequencyHz = 50 + 60 * random();
    const asShelf = shapeOf((setting) => [shelf(frequencyHz, -Math.max(0, setting - 18))], { snrDb, seed });
    expect(asShelf?.model ?? 'shelf').not.toBe('high-pass');
    const asHighPass = shapeOf(climbing(4, 'butterworth', null), { snrDb, seed });
    expect(asHighPass?.model ?? 'high-pass').not.toBe('shelf');
  }
});

test('no shelf is called a high-pass: 40 radios with any Q, with EQ or a high-pass of their own, half of them with a small loss', () => {
  const models = Array.from({ length: 40 }, (_, seed) => {
    const random = seededRandom(500 + seed);
    const between = (low: number, high: number) => low + (high - low) * random();
    const snrDb = between(50, 60);
    const own = ownFilters(random);
    const q = between(0.5, 1);
    const cornerHz = between(60, 140);
    const deepestDb = seed % 2 === 0 ? between(-3, -1.5) : between(-14, -3);
    const lossOf = (setting: number) =>
      lowShelfSections({ gainDb: (deepestDb * Math.max(0, setting - 18)) / 12, q });
    return shapeOf((setting) => [...own, { sections: lossOf(setting), cornerHz }], { snrDb, seed })?.model;
  });
  expect(models).not.toContain('high-pass');
  expect(models).not.toContain(undefined);
  expect(models.filter((model) => model === 'shelf').length).toBeGreaterThan(30);
});

test('no high-pass is called a shelf: 40 radios of order 1 to 4, a third of them climbing a little only', () => {
  const models = Array.from({ length: 40 }, (_, seed) => {
    const random = seededRandom(700 + seed);
    const between = (low: number, high: number) => low + (high - low) * random();
    const snrDb = between(50, 60);
    const own = ownFilters(random);
    const order = 1 + (seed % 4);
    const baseHz = random() < 0.5 ? null : between(20, 35);
    const toHz = seed % 3 === 0 ? (baseHz ?? 20) * between(1.2, 1.6) : between(55, 120);
    const climb = (setting: number) => {
      const part = Math.max(0, setting - 18) / 12;
      const cornerHz = part === 0 ? baseHz : (baseHz ?? 15) * (1 - part) + toHz * part;
      return cornerHz === null ? [] : [pass('high-pass', cornerHz, { order, family: 'butterworth' })];
    };
    return shapeOf((setting) => [...own, ...climb(setting)], { snrDb, seed })?.model;
  });
  expect(models).not.toContain('shelf');
  expect(models.filter((model) => model === 'high-pass').length).toBeGreaterThan(15);
});

/** None, a tone control, or a crossover from below: as a radio has them at every setting. */
function ownFilters(random: () => number): Filter[] {
  const tone = random() < 0.5 ? [shelf(100, 10 * random() - 4)] : [];
  const crossover = { order: 1 + Math.floor(4 * random()), family: 'butterworth' } as const;
  return random() < 0.4 ? [...tone, pass('high-pass', 40 + 70 * random(), crossover)] : tone;
}
