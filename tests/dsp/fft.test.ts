import FFT from 'fft.js';
import { expect, test } from 'vitest';
import { inverseComplex, inverseReal, realSpectrum, transformSizeFor } from '../../src/dsp/fft.ts';
import { seededRandom } from '../../src/dsp/random.ts';

/** The definition of the discrete Fourier transform, slow and independent. */
function directTransform(samples: Float64Array): Float64Array {
  const size = samples.length;
  const bins = new Float64Array(size + 2);
  for (let k = 0; k <= size / 2; k++)
    for (let n = 0; n < size; n++) {
      bins[2 * k] += samples[n] * Math.cos((2 * Math.PI * k * n) / size);
      bins[2 * k + 1] -= samples[n] * Math.sin((2 * Math.PI * k * n) / size);
    }
  return bins;
}

/** Every odd factor with an even and an odd number of twos, so that every kind of pass is met. */
const SIZES = [4, 8, 12, 16, 20, 24, 40, 48, 64, 96, 160, 320, 768, 1024];

test.each(SIZES)('a real spectrum of %i samples is what the definition says', (size) => {
  const random = seededRandom(size);
  const samples = Float64Array.from({ length: size }, () => random.gaussian());
  const spectrum = realSpectrum(samples, size);
  const expected = directTransform(samples);
  spectrum.forEach((value, i) => {
    expect(Math.abs(value - expected[i])).toBeLessThan(1e-13 * size ** 1.5);
  });
});

test('samples that are missing count as zero', () => {
  expect(Array.from(realSpectrum([1, 2, 3], 8))).toEqual(
    Array.from(realSpectrum([1, 2, 3, 0, 0, 0, 0, 0], 8)),
  );
});

test('the inverse of a single positive frequency is a turning phasor', () => {
  const spectrum = new Float64Array(16);
  spectrum[2 * 3] = 8;
  const samples = inverseComplex(spectrum);
  for (let n = 0; n < 8; n++) {
    expect(samples[2 * n]).toBeCloseTo(Math.cos((2 * Math.PI * 3 * n) / 8), 12);
    expect(samples[2 * n + 1]).toBeCloseTo(Math.sin((2 * Math.PI * 3 * n) / 8), 12);
  }
});

test.each(SIZES)('the inverse of a real spectrum of %i samples gives them back', (size) => {
  const random = seededRandom(size);
  const samples = Float64Array.from({ length: size }, () => random.gaussian());
  const back = inverseReal(realSpectrum(samples, size));
  back.forEach((value, n) => {
    expect(Math.abs(value - samples[n])).toBeLessThan(1e-14 * size);
  });
});

test('a long complex transform is what fft.js gives', () => {
  const size = 2 ** 15;
  const random = seededRandom(5);
  const spectrum = Float64Array.from({ length: 2 * size }, () => random.gaussian());
  const expected = new Float64Array(2 * size);
  new FFT(size).inverseTransform(expected, spectrum);
  const largest = inverseComplex(spectrum).reduce(
    (most, value, i) => Math.max(most, Math.abs(value - expected[i])),
    0,
  );
  expect(largest).toBeLessThan(1e-15);
});

test.each([98_304, 327_680])('a tone on a bin of %i samples is in that bin alone', (size) => {
  const bin = 1234;
  const samples = Float64Array.from({ length: size }, (_, n) =>
    Math.cos((2 * Math.PI * ((bin * n) % size)) / size),
  );
  const spectrum = realSpectrum(samples, size);
  expect(spectrum[2 * bin]).toBeCloseTo(size / 2, 6);
  spectrum[2 * bin] = 0;
  expect(spectrum.reduce((most, value) => Math.max(most, Math.abs(value)), 0)).toBeLessThan(1e-9);
});

test('a transform size is the next length of 2, 3 or 5 times a power of two', () => {
  expect([1, 4, 5, 9, 17, 93_600, 262_080, 262_145, 309_600].map(transformSizeFor)).toEqual([
    4, 4, 8, 12, 20, 98_304, 262_144, 327_680, 327_680,
  ]);
});
