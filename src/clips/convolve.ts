import { inverseComplex, realSpectrum } from '../dsp/fft.ts';

/** Blocks of the signal as long as the filter: overlap and add. */
export function convolved(samples: ArrayLike<number>, impulse: Float64Array): Float64Array {
  const block = impulse.length;
  const size = 2 * block;
  const filter = realSpectrum(impulse, size);
  const output = new Float64Array(samples.length);
  const part = new Float64Array(block);
  const both = new Float64Array(2 * size);
  for (let start = 0; start < samples.length; start += block) {
    for (let n = 0; n < block; n++) part[n] = samples[start + n] ?? 0;
    const spectrum = realSpectrum(part, size);
    for (let k = 0; k <= block; k++) {
      const re = spectrum[2 * k] * filter[2 * k] - spectrum[2 * k + 1] * filter[2 * k + 1];
      const im = spectrum[2 * k] * filter[2 * k + 1] + spectrum[2 * k + 1] * filter[2 * k];
      const mirror = (size - k) % size;
      both[2 * k] = re;
      both[2 * k + 1] = im;
      both[2 * mirror] = re;
      both[2 * mirror + 1] = k === mirror ? im : -im;
    }
    const sound = inverseComplex(both);
    const count = Math.min(size, samples.length - start);
    for (let n = 0; n < count; n++) output[start + n] += sound[2 * n];
  }
  return output;
}
