import { expect, test } from 'vitest';
import { inverseComplex, realSpectrum, transformSizeFor } from '../../src/dsp/fft.ts';
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

test.each([4, 8, 16, 64, 1024])('a real spectrum of %i samples is what the definition says', (size) => {
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

test('a transform size is the next power of two', () => {
  expect([1, 4, 5, 262_080, 262_145].map(transformSizeFor)).toEqual([4, 4, 8, 262_144, 524_288]);
});
