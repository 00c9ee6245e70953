import { doubles, kept, reused } from './kernels/kernel-arrays.ts';
import { kernels } from './kernels/kernels.ts';

/**
 * Fourier transforms of real samples and back, with tables kept per length (making them costs more than a transform).
 * Spectra are interleaved: real and imaginary part of bin k at 2k and 2k + 1. Any arrays will do; those of the kernels'
 * memory (`kernel-arrays.ts`) are written to without a copy.
 */
interface Plan {
  /** exp(-2 pi i k / size). */
  readonly turns: Float64Array;
  /** cos and -sin of pi k / size, k up to size / 2: they unpack a real transform of twice the length. */
  readonly unpacking: Float64Array;
}

/**
 * Spectrum of real samples, bins 0 to size / 2 inclusive, as `size + 2` interleaved numbers.
 *
 * @param samples at most `size` of them are used; what is missing counts as zero. Those that stand in `spectrumInput` are
 *   not copied
 * @param size one that `transformSizeFor` gives: 2^a, 3 * 2^a or 5 * 2^a, 4 or more
 * @param target where to put the result; a new array where absent
 */
export function realSpectrum(
  samples: ArrayLike<number>,
  size: number,
  target: Float64Array = new Float64Array(size + 2),
): Float64Array {
  const half = size / 2;
  const { turns, unpacking } = planOf(half);
  const packed = spectrumInput(size);
  const scratch = scratchWork(size);
  fill(packed, samples, size);
  const transformed = kernels.transform(packed, scratch, turns, half) === 0 ? packed : scratch;
  return intoTarget(target, packed, (bins) => kernels.unpackReal(transformed, bins, unpacking, half));
}

/** Where `realSpectrum` works: `size + 2` numbers that the next transform overwrites. */
export function spectrumInput(size: number): Float64Array {
  return packedWork(size + 2);
}

const packedWork = reused(doubles);
const scratchWork = reused(doubles);

/** Inverse transform of an interleaved complex spectrum of all `size` bins, scaled by 1 / size. */
export function inverseComplex(
  spectrum: Float64Array,
  target: Float64Array = new Float64Array(spectrum.length),
): Float64Array {
  const size = spectrum.length / 2;
  const { turns } = planOf(size);
  const data = packedWork(2 * size);
  data.set(spectrum);
  return turnedRound(target, { data, scratch: scratchWork(2 * size), turns });
}

/**
 * Transform of interleaved complex values with exp(-2 pi i), unscaled. Overwrites both arrays.
 *
 * @param scratch as long as `values`
 * @returns the one of the two that holds the result
 */
export function complexSpectrum(values: Float64Array, scratch: Float64Array): Float64Array {
  const size = values.length / 2;
  return kernels.transform(values, scratch, planOf(size).turns, size) === 0 ? values : scratch;
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
  const { turns, unpacking } = planOf(half);
  const data = packedWork(size);
  const scratch = scratchWork(size + 2);
  if (spectrum.buffer !== data.buffer) scratch.set(spectrum);
  kernels.packReal(spectrum.buffer === data.buffer ? spectrum : scratch, data, unpacking, half);
  return turnedRound(target, { data, scratch, turns });
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
  else if (!(samples instanceof Float64Array)) for (let n = 0; n < count; n++) packed[n] = samples[n];
  else if (samples.buffer !== packed.buffer || samples.byteOffset !== packed.byteOffset)
    packed.set(samples.subarray(0, count));
  packed.fill(0, count, size);
}

function turnedRound(
  target: Float64Array,
  { data, scratch, turns }: { data: Float64Array; scratch: Float64Array; turns: Float64Array },
): Float64Array {
  const size = turns.length / 2;
  const inScratch = kernels.transform(data, scratch, turns, size) === 1;
  const [turned, other] = inScratch ? [scratch, data] : [data, scratch];
  return intoTarget(target, other, (values) => kernels.turnRound(turned, values, 1 / size, size));
}

/** Kernels write to their own memory alone: what is wanted elsewhere is copied from `work`. */
function intoTarget(
  target: Float64Array,
  work: Float64Array,
  write: (values: Float64Array) => void,
): Float64Array {
  if (target.buffer === work.buffer) write(target);
  else {
    write(work);
    target.set(work.subarray(0, target.length));
  }
  return target;
}

const plans = kept<Plan>();

function planOf(complexSize: number): Plan {
  return plans(String(complexSize), () => {
    const unpacking = doubles(complexSize + 2);
    for (let k = 0; k <= complexSize / 2; k++) {
      unpacking[2 * k] = Math.cos((Math.PI * k) / complexSize);
      unpacking[2 * k + 1] = -Math.sin((Math.PI * k) / complexSize);
    }
    return { turns: turnsOf(complexSize), unpacking };
  });
}

/** A quarter of the circle, where there is one, turned by right angles. */
function turnsOf(size: number): Float64Array {
  const turns = doubles(2 * size);
  const part = size % 4 === 0 ? size / 4 : size;
  for (let k = 0; k < part; k++) {
    let real = Math.cos((2 * Math.PI * k) / size);
    let imag = -Math.sin((2 * Math.PI * k) / size);
    for (let at = k; at < size; at += part) {
      turns[2 * at] = real;
      turns[2 * at + 1] = imag;
      [real, imag] = [imag, -real];
    }
  }
  return turns;
}
