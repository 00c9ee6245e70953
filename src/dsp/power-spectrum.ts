import { realSpectrum } from './fft.ts';

/** Power in each bin such that the sum over a band is the mean square of the samples in it (periodic Hann window). */
export interface PowerSpectrum {
  readonly binHz: number;
  readonly power: Float64Array;
}

/** Equivalent noise bandwidth of the periodic Hann window, in bins (Harris, Proc. IEEE 66(1), 1978, table 1: 1.50). */
const HANN_NOISE_BANDWIDTH_BINS = 1.5;
const HANN_COHERENT_GAIN = 0.5;

/** @param size a power of two, at most the number of samples; the first `size` are used */
export function powerSpectrum(
  samples: ArrayLike<number>,
  of: { size: number; sampleRateHz: number },
): PowerSpectrum {
  const { size, sampleRateHz } = of;
  const windowed = Float64Array.from(
    { length: size },
    (_, n) => 0.5 * (1 - Math.cos((2 * Math.PI * n) / size)) * samples[n],
  );
  const spectrum = realSpectrum(windowed, size);
  const scale = 2 / (size * HANN_COHERENT_GAIN) ** 2 / HANN_NOISE_BANDWIDTH_BINS;
  return {
    binHz: sampleRateHz / size,
    power: Float64Array.from({ length: size / 2 }, (_, k) =>
      k === 0 ? 0 : scale * (spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2),
    ),
  };
}
