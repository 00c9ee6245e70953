import { expect, test } from 'vitest';
import { seededRandom } from '../../src/dsp/random.ts';

const COUNT = 400_000;

test('the same seeds give the same numbers, and neighbouring seeds give unrelated ones', () => {
  const draw = (...seeds: number[]) => {
    const random = seededRandom(...seeds);
    return Array.from({ length: 2000 }, () => random.gaussian());
  };
  expect(draw(7, 1)).toEqual(draw(7, 1));
  for (const other of [draw(8, 1), draw(7, 2), draw(1, 7), draw(7)]) {
    const correlation = draw(7, 1).reduce((sum, value, i) => sum + value * other[i], 0) / 2000;
    expect(Math.abs(correlation)).toBeLessThan(4 / Math.sqrt(2000));
  }
});

// Normal distribution: share of values beyond 1, 2, 3 standard deviations and beyond the start of the ziggurat's tail,
// scipy: 2 * scipy.stats.norm.sf([1, 2, 3, 3.442619855899]).
test('gaussian numbers have the moments and the tails of the normal distribution', () => {
  const random = seededRandom(3);
  const values = Float64Array.from({ length: COUNT }, () => random.gaussian());
  const moment = (power: number) => values.reduce((sum, value) => sum + value ** power, 0) / COUNT;
  expect(Math.abs(moment(1))).toBeLessThan(4 / Math.sqrt(COUNT));
  expect(Math.abs(moment(2) - 1)).toBeLessThan(4 * Math.sqrt(2 / COUNT));
  expect(Math.abs(moment(3))).toBeLessThan(4 * Math.sqrt(15 / COUNT));
  expect(Math.abs(moment(4) - 3)).toBeLessThan(4 * Math.sqrt(96 / COUNT));
  const beyond: [number, number][] = [
    [1, 0.31731050786],
    [2, 0.0455002638964],
    [3, 0.00269979606326],
    [3.442619855899, 0.00057611],
  ];
  for (const [limit, share] of beyond) {
    const counted = values.filter((value) => Math.abs(value) > limit).length / COUNT;
    expect(Math.abs(counted - share)).toBeLessThan(4 * Math.sqrt(share / COUNT));
  }
});

test('gaussian numbers are white: no correlation with the number before', () => {
  const random = seededRandom(11);
  let before = random.gaussian();
  let sum = 0;
  for (let i = 0; i < COUNT; i++) {
    const value = random.gaussian();
    sum += value * before;
    before = value;
  }
  expect(Math.abs(sum / COUNT)).toBeLessThan(4 / Math.sqrt(COUNT));
});

test('triangular numbers lie between -1 and 1 with the variance of a sixth', () => {
  const random = seededRandom(5);
  const values = Float64Array.from({ length: COUNT }, () => random.triangular());
  expect(Math.max(...values.slice(0, 10_000))).toBeLessThan(1);
  const variance = values.reduce((sum, value) => sum + value * value, 0) / COUNT;
  expect(variance).toBeCloseTo(1 / 6, 2);
});

test('between stays in its range', () => {
  const random = seededRandom(9);
  for (let i = 0; i < 1000; i++) {
    const value = random.between([-0.5, 2]);
    expect(value).toBeGreaterThanOrEqual(-0.5);
    expect(value).toBeLessThan(2);
  }
});

test('what is added to many samples at once are the numbers drawn one by one, and the next draw goes on behind them', () => {
  const [one, other] = [seededRandom(5, 9), seededRandom(5, 9)];
  const [samples, expected] = [new Float64Array(COUNT).fill(1), new Float64Array(COUNT).fill(1)];
  one.addGaussian(samples, { sigma: 0.3, from: 10, to: COUNT - 10 });
  for (let n = 10; n < COUNT - 10; n++) expected[n] += 0.3 * other.gaussian();
  expect(samples).toEqual(expected);
  // Steps of a 16-bit file; the first and last samples are beyond its full scale.
  samples.fill(2, 0, 5).fill(-2, COUNT - 5);
  const steps = samples.map((sample) => Math.floor(sample * 2 ** 15 + other.triangular() + 0.5));
  expect(one.dithered(samples, 2 ** 15)).toEqual(
    Float32Array.from(steps, (step) => Math.min(2 ** 15 - 1, Math.max(-(2 ** 15), step)) / 2 ** 15),
  );
  expect(one.uniform()).toBe(other.uniform());
});
