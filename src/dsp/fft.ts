import FFT from 'fft.js';

/**
 * Fourier transforms of power-of-two length on fft.js, with its tables kept per length (they cost more than a transform).
 * Spectra are interleaved: real and imaginary part of bin k at 2k and 2k + 1.
 */
interface Plan {
  readonly transformer: FFT;
  /** cos and -sin of pi k / half, k = 0 .. half: they unpack a real transform of twice the length. */
  readonly twiddles: Float64Array;
}

const plans = new Map<number, Plan>();

/**
 * Spectrum of real samples, bins 0 to size / 2 inclusive, as `size + 2` interleaved numbers.
 *
 * @param samples at most `size` of them; what is missing counts as zero
 * @param size a power of two, 4 or more
 * @param target where to put the result; a new array where absent
 */
export function realSpectrum(
  samples: ArrayLike<number>,
  size: number,
  target = new Float64Array(size + 2),
): Float64Array {
  const half = size / 2;
  const { transformer, twiddles } = planOf(half);
  const packed = new Float64Array(size);
  packed.set(samples.length > size ? Array.prototype.slice.call(samples, 0, size) : samples);
  transformer.transform(target, packed);
  unpackRealSpectrum(target, half, twiddles);
  return target;
}

/** Inverse transform of an interleaved complex spectrum of all `size` bins, scaled by 1 / size. */
export function inverseComplex(
  spectrum: Float64Array,
  target = new Float64Array(spectrum.length),
): Float64Array {
  planOf(spectrum.length / 2).transformer.inverseTransform(target, spectrum);
  return target;
}

/** Smallest power of two that holds `count` samples. */
export function transformSizeFor(count: number): number {
  return 2 ** Math.ceil(Math.log2(Math.max(4, count)));
}

/** Even and odd samples were transformed as one complex signal; this takes the two apart in place. */
function unpackRealSpectrum(bins: Float64Array, half: number, twiddles: Float64Array): void {
  const firstReal = bins[0];
  const firstImag = bins[1];
  for (let k = 1; k <= half / 2; k++) {
    const a = 2 * k;
    const b = 2 * (half - k);
    const evenReal = 0.5 * (bins[a] + bins[b]);
    const evenImag = 0.5 * (bins[a + 1] - bins[b + 1]);
    const oddReal = 0.5 * (bins[a + 1] + bins[b + 1]);
    const oddImag = 0.5 * (bins[b] - bins[a]);
    const turnedReal = twiddles[a] * oddReal - twiddles[a + 1] * oddImag;
    const turnedImag = twiddles[a] * oddImag + twiddles[a + 1] * oddReal;
    bins[a] = evenReal + turnedReal;
    bins[a + 1] = evenImag + turnedImag;
    bins[b] = evenReal - turnedReal;
    bins[b + 1] = turnedImag - evenImag;
  }
  bins[0] = firstReal + firstImag;
  bins[1] = 0;
  bins[2 * half] = firstReal - firstImag;
  bins[2 * half + 1] = 0;
}

function planOf(complexSize: number): Plan {
  let plan = plans.get(complexSize);
  if (plan === undefined) {
    const twiddles = new Float64Array(2 * complexSize + 2);
    for (let k = 0; k <= complexSize; k++) {
      twiddles[2 * k] = Math.cos((Math.PI * k) / complexSize);
      twiddles[2 * k + 1] = -Math.sin((Math.PI * k) / complexSize);
    }
    plan = { transformer: new FFT(complexSize), twiddles };
    plans.set(complexSize, plan);
  }
  return plan;
}
