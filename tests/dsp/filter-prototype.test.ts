import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import type { AnalogSection } from '../../src/dsp/analog-section.ts';
import {
  allPassSections,
  evaluateOnGrid,
  evaluateSections,
  highShelfSections,
  lowShelfSections,
  ORDERS_OF_FAMILY,
  peakingSections,
  prototypeSections,
} from '../../src/dsp/filter-prototype.ts';

// scipy 1.10, by tests/references/filters.py.
const reference = JSON.parse(readFileSync(new URL('../references/filters.json', import.meta.url), 'utf8'));
const CORNER_MULTIPLES = [0.5, 1, 2, 4];

function analogDb(sections: AnalogSection[], multiple: number): number {
  const { real, imag } = evaluateSections(sections, {
    frequencyHz: multiple * 80,
    cornerHz: 80,
    sampleRateHz: null,
  });
  return 20 * Math.log10(Math.hypot(real, imag));
}

function sumDb(multiple: number, order: number, sign: 1 | -1): number {
  const [low, high] = (['low-pass', 'high-pass'] as const).map((side) =>
    evaluateSections(prototypeSections({ family: 'linkwitz-riley', order, side }), {
      frequencyHz: multiple,
      cornerHz: 1,
      sampleRateHz: null,
    }),
  );
  return 20 * Math.log10(Math.hypot(low.real + sign * high.real, low.imag + sign * high.imag));
}

test('a Butterworth follows 1 / (1 + (f/fc)^2n) at every order, and its high-pass is the mirror image', () => {
  for (const order of ORDERS_OF_FAMILY.butterworth) {
    for (const multiple of CORNER_MULTIPLES) {
      const closedForm = -10 * Math.log10(1 + multiple ** (2 * order));
      expect(
        analogDb(prototypeSections({ family: 'butterworth', order, side: 'low-pass' }), multiple),
      ).toBeCloseTo(closedForm, 9);
      expect(
        analogDb(prototypeSections({ family: 'butterworth', order, side: 'high-pass' }), 1 / multiple),
      ).toBeCloseTo(closedForm, 9);
    }
  }
});

// scipy: s.freqs(*s.bessel(n,1,analog=True,norm='mag'),[.5,1,2,4]).
test.each([
  [2, [-0.71286, -3.0103, -9.81528, -20.36117]],
  [3, [-0.68923, -3.0103, -12.00028, -27.84518]],
  [4, [-0.70512, -3.0103, -13.40539, -34.43364]],
])('a Bessel of order %i has the magnitudes of scipy with the corner 3 dB down', (order, expectedDb) => {
  const sections = prototypeSections({ family: 'bessel', order, side: 'low-pass' });
  CORNER_MULTIPLES.forEach((multiple, i) => {
    expect(analogDb(sections, multiple)).toBeCloseTo(expectedDb[i], 4);
  });
});

// Butterworth squared; Linkwitz, JAES 24(1), 1976. The figures: scipy.
test.each([
  [2, [-1.9382, -6.0206, -13.9794, -24.60898]],
  [4, [-0.52658, -6.0206, -24.60898, -48.19866]],
  [8, [-0.03386, -6.0206, -48.19866, -96.32973]],
])('a Linkwitz-Riley of order %i is 6 dB down at its corner', (order, expectedDb) => {
  const sections = prototypeSections({ family: 'linkwitz-riley', order, side: 'low-pass' });
  CORNER_MULTIPLES.forEach((multiple, i) => {
    expect(analogDb(sections, multiple)).toBeCloseTo(expectedDb[i], 4);
  });
});

test.each([
  [2, -1, -4.43697],
  [4, 1, -1.08715],
  [8, 1, -0.06786],
] as const)(
  'the two halves of a Linkwitz-Riley of order %i sum flat in one polarity and to a null in the other',
  (order, flatSign, besideNullDb) => {
    for (const multiple of [0.25, 0.5, 1, 2, 4]) expect(sumDb(multiple, order, flatSign)).toBeCloseTo(0, 9);
    const wrongSign = flatSign === 1 ? -1 : 1;
    expect(sumDb(1, order, wrongSign)).toBeLessThan(-200);
    expect(sumDb(0.5, order, wrongSign)).toBeCloseTo(besideNullDb, 4);
    expect(sumDb(2, order, wrongSign)).toBeCloseTo(besideNullDb, 4);
  },
);

// Closed form of the prototype in the W3C Note "Audio EQ Cookbook", 8 June 2021.
test.each([
  [6, [5.62357, 3.0, 0.37643]],
  [12, [11.10266, 6.0, 0.89734]],
])('a low shelf of %i dB has half its decibels at the corner', (gainDb, expectedDb) => {
  [0.5, 1, 2].forEach((multiple, i) => {
    expect(analogDb(lowShelfSections({ gainDb }), multiple)).toBeCloseTo(expectedDb[i], 4);
    expect(analogDb(lowShelfSections({ gainDb: -gainDb }), multiple)).toBeCloseTo(-expectedDb[i], 4);
    expect(analogDb(highShelfSections({ gainDb }), 1 / multiple)).toBeCloseTo(expectedDb[i], 4);
  });
});

test('a shelf reaches its gain at one end and 0 dB at the other', () => {
  expect(analogDb(lowShelfSections({ gainDb: -9 }), 0)).toBeCloseTo(-9, 9);
  expect(analogDb(lowShelfSections({ gainDb: -9 }), 1000)).toBeCloseTo(0, 5);
  expect(analogDb(highShelfSections({ gainDb: 5 }), 0)).toBeCloseTo(0, 9);
});

test('a peak has its gain at the corner, and the same dip undoes it', () => {
  expect(analogDb(peakingSections({ gainDb: 7, q: 3 }), 1)).toBeCloseTo(7, 9);
  const both = [...peakingSections({ gainDb: 7, q: 3 }), ...peakingSections({ gainDb: -7, q: 3 })];
  for (const multiple of CORNER_MULTIPLES) expect(analogDb(both, multiple)).toBeCloseTo(0, 9);
});

test('an all-pass changes only the phase: minus 90 degrees at the corner in order 1, 180 in order 2', () => {
  const first = evaluateSections(allPassSections({ order: 1 }), {
    frequencyHz: 80,
    cornerHz: 80,
    sampleRateHz: null,
  });
  expect([first.real, first.imag]).toEqual([expect.closeTo(0, 12), expect.closeTo(-1, 12)]);
  const second = evaluateSections(allPassSections({ order: 2, q: 1.3 }), {
    frequencyHz: 80,
    cornerHz: 80,
    sampleRateHz: 48_000,
  });
  expect([second.real, second.imag]).toEqual([expect.closeTo(-1, 12), expect.closeTo(0, 12)]);
  for (const multiple of CORNER_MULTIPLES)
    expect(analogDb(allPassSections({ order: 2 }), multiple)).toBeCloseTo(0, 9);
});

// Linkwitz-Riley 4: LF group delay is 2 sqrt(2) / wc (closed form of the sum of the poles' delays).
test('the phase of a Linkwitz-Riley low-pass of order 4 starts with a delay of 2 sqrt(2) / wc', () => {
  const frequencyHz = 0.01;
  const { real, imag } = evaluateSections(
    prototypeSections({ family: 'linkwitz-riley', order: 4, side: 'low-pass' }),
    {
      frequencyHz,
      cornerHz: 80,
      sampleRateHz: null,
    },
  );
  const delaySeconds = -Math.atan2(imag, real) / (2 * Math.PI * frequencyHz);
  expect(delaySeconds).toBeCloseTo((2 * Math.SQRT2) / (2 * Math.PI * 80), 8);
});

test('the bilinear responses of all families, orders and sides agree with scipy to 1e-9', () => {
  expect(reference.filters).toHaveLength(80);
  const frequencyHz = Float64Array.from(reference.frequencyHz);
  for (const fixture of reference.filters) {
    const response = evaluateOnGrid(prototypeSections(fixture), { ...fixture, frequencyHz });
    frequencyHz.forEach((_, i) => {
      expect(Math.abs(response.real[i] - fixture.real[i])).toBeLessThan(1e-9);
      expect(Math.abs(response.imag[i] - fixture.imag[i])).toBeLessThan(1e-9);
    });
  }
});

test('an order that the family does not have is refused', () => {
  expect(() => prototypeSections({ family: 'linkwitz-riley', order: 3, side: 'low-pass' })).toThrow(
    RangeError,
  );
  expect(() => prototypeSections({ family: 'butterworth', order: 0, side: 'low-pass' })).toThrow(RangeError);
});

test('no sections at all let everything through', () => {
  expect(evaluateSections([], { frequencyHz: 100, cornerHz: 1, sampleRateHz: null })).toEqual({
    real: 1,
    imag: 0,
  });
});
