import { expect, test } from 'vitest';
import { findRouting } from '../../../src/findings/arrival/routing.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { measurementsOf, pass, type Radio, tapOf } from '../synthetic.ts';
import { seededRandom } from '../synthetic-noise.ts';

function routingOf(
  weights: readonly [number, number],
  part: Partial<Radio> = {},
  side: 'left' | 'right' | 'both' | 'unknown' = 'left',
) {
  const radio = { gainDb: (setting: number) => setting - 40, snrDb: 50, weights, ...part };
  const measurements = measurementsOf({ radio, settings: [10, 20], random: seededRandom(3) });
  return findRouting({ tap: tapOf({ side }), measurements });
}

test.each([
  [[1, 0], 'left'],
  [[0, 1], 'right'],
  [[0.5, 0.5], 'left and right'],
  [[1, 0.2], 'left and right'],
  [[0.5, -0.5], 'difference'],
  [[1, 0.001], 'left'],
  [[-1, 0], 'left'],
] as const)('weights %j carry %s', (weights, carries) => {
  expect(routingOf(weights).carries).toBe(carries);
});

test('levels of the two sides are relative to the stronger', () => {
  // 0.5 is -6.02 dB.
  const { leftDb, rightDb } = routingOf([1, 0.5]);
  expect(leftDb).toBe(0);
  expect(rightDb).toBeCloseTo(-6.02, 1);
});

test('what a tap carries is held against the session: swapped channels show', () => {
  expect(routingOf([1, 0], {}, 'left').agreesWithSession).toBe(true);
  expect(routingOf([0, 1], {}, 'left').agreesWithSession).toBe(false);
  expect(routingOf([1, 1], {}, 'both').agreesWithSession).toBe(true);
  expect(routingOf([1, 0], {}, 'both').agreesWithSession).toBe(false);
  expect(routingOf([1, -1], {}, 'unknown').agreesWithSession).toBe(true);
  // A surround channel of the left side plays left less right.
  expect(routingOf([1, -1], {}, 'left').agreesWithSession).toBe(true);
  expect(routingOf([1, -1], {}, 'both').agreesWithSession).toBe(false);
});

test('the weaker side counts once its power is five times that of its noise, less the noise', () => {
  const N = gridFrequencyHz.length;
  const side = (real: number, sigma: number, trustedHz: readonly [number, number] | null) => ({
    real: new Float64Array(N).fill(real),
    imag: new Float64Array(N),
    sigma: new Float64Array(N).fill(sigma),
    trustedHz,
  });
  const routing = (weaker: number, isLeft = false) => {
    const [one] = measurementsOf({ radio: { gainDb: () => 0 }, settings: [20] });
    const [strong, weak] = [side(1, 1e-6, [20, 20_000]), side(weaker, 0.1, null)];
    const sides = isLeft ? { left: weak, right: strong } : { left: strong, right: weak };
    return findRouting({ tap: tapOf(), measurements: [{ ...one, ...sides }] });
  };
  // Noise of 0.1 in each part is 0.02 of power: 0.1 is five times that.
  const most = Math.sqrt(0.1);
  expect([routing(most * 0.99).carries, routing(most * 1.01).carries]).toEqual(['left', 'left and right']);
  expect([routing(most * 0.99, true).carries, routing(most * 1.01, true).carries]).toEqual([
    'right',
    'left and right',
  ]);
  expect(routing(0.5, true).leftDb).toBeCloseTo(10 * Math.log10(0.25 - 0.02), 3);
  expect(routing(0.5).rightDb).toBeCloseTo(10 * Math.log10(0.25 - 0.02), 3);
});

test('a dead tap carries nothing, and a band-limited one is read in its own band', () => {
  expect(routingOf([0, 0])).toMatchObject({ carries: 'nothing', leftDb: null, rightDb: null });
  expect(routingOf([0, 1], { filters: () => [pass('high-pass', 3000)], snrDb: 25 }).carries).toBe('right');
  expect(routingOf([1, 1], { filters: () => [pass('low-pass', 80)], snrDb: 25 }).carries).toBe(
    'left and right',
  );
});
