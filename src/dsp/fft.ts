import { type ComplexTransform, complexTransform } from './stockham.ts';

/**
 * Fourier transforms of real samples and back, with tables and working arrays kept per length (making them costs more than
 * a transform). Spectra are interleaved: real and imaginary part of bin k at 2k and 2k + 1.
 */
interface Plan {
  readonly complex: ComplexTransform;
  /** cos and -sin of pi k / size, k up to size / 2: they unpack a real transform of twice the length. */
  readonly unpacking: Float64Array;
}

const plans = new Map<number, Plan>();

/**
 * Spectrum of real samples, bins 0 to size / 2 inclusive, as `size + 2` interleaved numbers.
 *
 * @param samples at most `size` of them are used; what is missing counts as zero
 * @param size one that `transformSizeFor` gives: 2^a, 3 * 2^a or 5 * 2^a, 4 or more
 * @param target where to put the result; a new array where absent
 */
export function realSpectrum(
  samples: ArrayLike<number>,
  size: number,
  target: Float64Array = new Float64Array(size + 2),
): Float64Array {
  const half = size / 2;
  const { complex, unpacking } = planOf(half);
  const [packed, scratch] = workFor(half);
  fill(packed, samples, size);
  unpackRealSpectrum(complex.transform(packed, scratch), target, { half, unpacking });
  return target;
}

/** Inverse transform of an interleaved complex spectrum of all `size` bins, scaled by 1 / size. */
export function inverseComplex(
  spectrum: Float64Array,
  target: Float64Array = new Float64Array(spectrum.length),
): Float64Array {
  const size = spectrum.length / 2;
  const { complex } = planOf(size);
  const [data, scratch] = workFor(size);
  // The inverse is the transform with its output turned round: value n of the one is value size - n of the other.
  data.set(spectrum);
  const turned = complex.transform(data, scratch);
  const scale = 1 / size;
  for (let n = 0, from = 0; n < size; n++, from = 2 * (size - n)) {
    target[2 * n] = scale * turned[from];
    target[2 * n + 1] = scale * turned[from + 1];
  }
  return target;
}

/**
 * Transform of interleaved complex values with exp(-2 pi i), unscaled. Overwrites both arrays.
 *
 * @param scratch as long as `values`
 * @returns the one of the two that holds the result
 */
export function complexSpectrum(values: Float64Array, scratch: Float64Array): Float64Array {
  return planOf(values.length / 2).complex.transform(values, scratch);
}

/**
 * Inverse of `realSpectrum`: `size` real samples from bins 0 to size / 2, scaled by 1 / size.
 *
 * @param spectrum `size + 2` interleaved numbers; the imaginary parts of the first and last bin do not count
 */
export function inverseReal(
  spectrum: Float64Array,
  target: Float64Array = new Float64Array(spectrum.length - 2),
): Float64Array {
  const size = spectrum.length - 2;
  const half = size / 2;
  const { complex, unpacking } = planOf(half);
  const [packed, scratch] = workFor(half);
  packRealSpectrum(spectrum, packed, { half, unpacking });
  const turned = complex.transform(packed, scratch);
  const scale = 1 / half;
  for (let n = 0, from = 0; n < half; n++, from = 2 * (half - n)) {
    target[2 * n] = scale * turned[from];
    target[2 * n + 1] = scale * turned[from + 1];
  }
  return target;
}

/** Smallest length of 2^a, 3 * 2^a and 5 * 2^a that holds `count` samples: at most a third of it is padding. */
export function transformSizeFor(count: number): number {
  const least = Math.max(4, count);
  return Math.min(...[1, 3, 5].map((odd) => odd * 2 ** Math.max(2, Math.ceil(Math.log2(least / odd)))));
}

/** Plain loops: `set` from an array of another type converts value by value through slow paths. */
function fill(packed: Float64Array, samples: ArrayLike<number>, size: number): void {
  const count = Math.min(size, samples.length);
  if (samples instanceof Float32Array) for (let n = 0; n < count; n++) packed[n] = samples[n];
  else if (samples instanceof Float64Array) packed.set(samples.subarray(0, count));
  else for (let n = 0; n < count; n++) packed[n] = samples[n];
  packed.fill(0, count, size);
}

/** Even and odd samples were transformed as one complex signal; this takes the two apart. */
function unpackRealSpectrum(
  packed: Float64Array,
  bins: Float64Array,
  { half, unpacking }: { half: number; unpacking: Float64Array },
): void {
  for (let k = 1; k <= half / 2; k++) {
    const a = 2 * k;
    const b = 2 * (half - k);
    const evenReal = 0.5 * (packed[a] + packed[b]);
    const evenImag = 0.5 * (packed[a + 1] - packed[b + 1]);
    const oddReal = 0.5 * (packed[a + 1] + packed[b + 1]);
    const oddImag = 0.5 * (packed[b] - packed[a]);
    const turnedReal = unpacking[a] * oddReal - unpacking[a + 1] * oddImag;
    const turnedImag = unpacking[a] * oddImag + unpacking[a + 1] * oddReal;
    bins[a] = evenReal + turnedReal;
    bins[a + 1] = evenImag + turnedImag;
    bins[b] = evenReal - turnedReal;
    bins[b + 1] = turnedImag - evenImag;
  }
  bins[0] = packed[0] + packed[1];
  bins[1] = 0;
  bins[2 * half] = packed[0] - packed[1];
  bins[2 * half + 1] = 0;
}

/** The way back: bins of real samples as those of one complex signal of half the length. */
function packRealSpectrum(
  bins: Float64Array,
  packed: Float64Array,
  { half, unpacking }: { half: number; unpacking: Float64Array },
): void {
  for (let k = 1; k <= half / 2; k++) {
    const a = 2 * k;
    const b = 2 * (half - k);
    const evenReal = 0.5 * (bins[a] + bins[b]);
    const evenImag = 0.5 * (bins[a + 1] - bins[b + 1]);
    const turnedReal = 0.5 * (bins[a] - bins[b]);
    const turnedImag = 0.5 * (bins[a + 1] + bins[b + 1]);
    const oddReal = unpacking[a] * turnedReal + unpacking[a + 1] * turnedImag;
    const oddImag = unpacking[a] * turnedImag - unpacking[a + 1] * turnedReal;
    packed[a] = evenReal - oddImag;
    packed[a + 1] = evenImag + oddReal;
    packed[b] = evenReal + oddImag;
    packed[b + 1] = oddReal - evenImag;
  }
  packed[0] = 0.5 * (bins[0] + bins[2 * half]);
  packed[1] = 0.5 * (bins[0] - bins[2 * half]);
}

function planOf(complexSize: number): Plan {
  let plan = plans.get(complexSize);
  if (plan === undefined) {
    const unpacking = new Float64Array(complexSize + 2);
    for (let k = 0; k <= complexSize / 2; k++) {
      unpacking[2 * k] = Math.cos((Math.PI * k) / complexSize);
      unpacking[2 * k + 1] = -Math.sin((Math.PI * k) / complexSize);
    }
    plan = { complex: complexTransform(complexSize), unpacking };
    plans.set(complexSize, plan);
  }
  return plan;
}

let work: readonly [Float64Array, Float64Array] = [new Float64Array(0), new Float64Array(0)];

/** The same two arrays for every length; the longest makes them. */
function workFor(complexSize: number): readonly [Float64Array, Float64Array] {
  if (work[0].length < 2 * complexSize)
    work = [new Float64Array(2 * complexSize), new Float64Array(2 * complexSize)];
  return work;
}
