import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { type Biquad, filterInPlace, toBiquads } from '../../src/dsp/biquad.ts';
import {
  allPassSections,
  highShelfSections,
  lowShelfSections,
  peakingSections,
  prototypeSections,
} from '../../src/dsp/filter-prototype.ts';

// scipy 1.10, by tests/references/filters.py.
const reference = JSON.parse(readFileSync(new URL('../references/filters.json', import.meta.url), 'utf8'));

test('poles and gain of every Butterworth, Bessel and Linkwitz-Riley agree with scipy to 1e-9', () => {
  for (const fixture of reference.filters) {
    const biquads = toBiquads(prototypeSections(fixture), fixture);
    const denominators = biquads.map(({ a1, a2 }) => [a1, a2]).sort(bySecondThenFirst);
    const expected = [...fixture.denominators].sort(bySecondThenFirst);
    expect(denominators).toHaveLength(expected.length);
    denominators.flat().forEach((value, i) => {
      expect(Math.abs(value - expected.flat()[i])).toBeLessThan(1e-9);
    });
    const gain = biquads.reduce((product, { b0 }) => product * b0, 1);
    expect(Math.abs(gain / fixture.gain - 1)).toBeLessThan(1e-9);
  }
});

// s.butter(2,2000,fs=48000) and s.butter(4,80,'high',fs=48000,output='sos') of scipy 1.10.
test('two published coefficient sets come out digit by digit', () => {
  const [low] = toBiquads(prototypeSections({ family: 'butterworth', order: 2, side: 'low-pass' }), {
    cornerHz: 2000,
    sampleRateHz: 48_000,
  });
  expectBiquad(
    low,
    [0.0144014403465, 0.028802880693, 0.0144014403465, -1.63299316186, 0.690598923241],
    1e-10,
  );
  const high = toBiquads(prototypeSections({ family: 'butterworth', order: 4, side: 'high-pass' }), {
    cornerHz: 80,
    sampleRateHz: 48_000,
  }).sort((one, other) => one.a2 - other.a2);
  expect([high[0].a1, high[0].a2]).toEqual([
    expect.closeTo(-1.98072746010923, 9),
    expect.closeTo(0.98083607060779, 9),
  ]);
  expect([high[1].a1, high[1].a2]).toEqual([
    expect.closeTo(-1.9919080098196, 9),
    expect.closeTo(0.99201723338842, 9),
  ]);
  expect(high[0].b0 * high[1].b0).toBeCloseTo(0.98641080953724, 9);
});

// The cookbook's digital formulas, typed into the python script by a second way than the bilinear transform.
test('shelves, peaks and all-passes have the coefficients of the Audio EQ Cookbook to 1e-9', () => {
  const sectionsOf = {
    'low shelf': lowShelfSections,
    'high shelf': highShelfSections,
    peak: peakingSections,
    'all-pass': ({ q }: { q: number }) => allPassSections({ order: 2, q }),
  };
  for (const fixture of reference.cookbook) {
    const [biquad] = toBiquads(sectionsOf[fixture.kind as keyof typeof sectionsOf](fixture), fixture);
    expectBiquad(biquad, [...fixture.b, fixture.a[1], fixture.a[2]], 1e-9);
  }
});

// `sox --plot octave -r 48000 -n -n bass +6 100 0.7071q` (sox 14.4.2).
test('a low shelf agrees with the coefficients that sox prints', () => {
  const q = 7071e-4; // as sox was told, not 1 / sqrt 2
  const [shelf] = toBiquads(lowShelfSections({ gainDb: 6, q }), {
    cornerHz: 100,
    sampleRateHz: 48_000,
  });
  expectBiquad(
    shelf,
    [1.003217926071602, -1.984364283717153, 0.9813865213372189, -1.984424182074864, 0.9845445490511097],
    1e-9,
  );
});

test('a first-order section becomes a first-order filter', () => {
  const [filter] = toBiquads(prototypeSections({ family: 'butterworth', order: 1, side: 'high-pass' }), {
    cornerHz: 12_000,
    sampleRateHz: 48_000,
  });
  // Corner at a quarter of the rate: k = 1, H(z) = (1 - 1/z) / 2.
  expectBiquad(filter, [0.5, -0.5, 0, 0, 0], 1e-12);
});

test('filtering follows the difference equation, from rest, through every section in turn', () => {
  const samples = Float64Array.of(1, 0, 0, 0);
  const half: Biquad = { b0: 1, b1: 0, b2: 0, a1: -0.5, a2: 0 };
  const twoTaps: Biquad = { b0: 0, b1: 2, b2: 1, a1: 0, a2: 0.25 };
  filterInPlace(samples, [half]);
  expect([...samples]).toEqual([1, 0.5, 0.25, 0.125]);
  filterInPlace(samples, [twoTaps]);
  // y[n] = 2 x[n-1] + x[n-2] - y[n-2] / 4, by hand.
  expect([...samples]).toEqual([0, 2, 2, 0.5]);
});

test('a corner at or above half the rate is refused', () => {
  const sections = lowShelfSections({ gainDb: 3 });
  expect(() => toBiquads(sections, { cornerHz: 24_000, sampleRateHz: 48_000 })).toThrow(RangeError);
  expect(() => toBiquads(sections, { cornerHz: 0, sampleRateHz: 48_000 })).toThrow(RangeError);
});

function expectBiquad({ b0, b1, b2, a1, a2 }: Biquad, expected: number[], tolerance: number): void {
  [b0, b1, b2, a1, a2].forEach((value, i) => {
    expect(Math.abs(value - expected[i])).toBeLessThan(tolerance);
  });
}

function bySecondThenFirst(one: number[], other: number[]): number {
  return Math.abs(one[1] - other[1]) > 1e-7 ? one[1] - other[1] : one[0] - other[0];
}
