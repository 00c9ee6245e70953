import { describe, expect, test, vi } from 'vitest';
import { currentHeap } from '../../../src/dsp/kernels/heap.ts';
import { bytes, doubles, floats, integers } from '../../../src/dsp/kernels/kernel-arrays.ts';
import { type Kernels, kernels } from '../../../src/dsp/kernels/kernels.ts';
import { plainKernels } from '../../../src/dsp/kernels/plain/plain-kernels.ts';
import { seededRandom } from '../../../src/dsp/random.ts';
import { strips } from '../../../src/dsp/ziggurat.ts';

/** What rounding allows: every sum here has less than 10^5 terms of size 1. */
const CLOSE = 1e-12;

type TypedArray = Float64Array | Float32Array | Int32Array | Uint8Array;
type Arguments = (TypedArray | number)[];

const random = seededRandom(13);
const noise = (count: number) => Float64Array.from({ length: count }, () => random.gaussian());
const floatNoise = (count: number) => Float32Array.from({ length: count }, () => random.gaussian() / 4);
const positive = (count: number) => noise(count).map((value) => 0.5 + value * value);
const anyBytes = (count: number) =>
  Uint8Array.from({ length: count }, () => Math.floor(256 * random.uniform()));
const zeros = (count: number) => new Float64Array(count);
/** Cosine and sine of each of some multiples of an angle. */
const turns = (radians: number, multiples: readonly number[]) =>
  Float64Array.from(multiples.flatMap((k) => [Math.cos(radians * k), Math.sin(radians * k)]));
const range = (count: number) => Array.from({ length: count }, (_, k) => k);

/** Arguments for each kernel, several of each: lengths that fill pairs and fours, and that do not. */
const CASES: Record<keyof Kernels, () => Arguments[]> = {
  transform: () =>
    [2, 4, 6, 8, 10, 12, 16, 20, 40, 64, 96, 128, 160, 640, 1536, 2560].map((size) => [
      noise(2 * size),
      zeros(2 * size),
      turns((-2 * Math.PI) / size, range(size)),
      size,
    ]),
  unpackReal: () =>
    [2, 4, 6, 10, 64].map((half) => [
      noise(2 * half + 2),
      zeros(2 * half + 2),
      turns(-Math.PI / half, range(half / 2 + 1)),
      half,
    ]),
  packReal: () =>
    [2, 4, 6, 10, 64].map((half) => [
      noise(2 * half + 2),
      zeros(2 * half + 2),
      turns(-Math.PI / half, range(half / 2 + 1)),
      half,
    ]),
  turnRound: () => [1, 2, 5, 8].map((size) => [noise(2 * size), zeros(2 * size), 1 / size, size]),
  centre: () => [1, 3, 4, 1001].map((count) => [floatNoise(count), zeros(count), count]),
  multiplyByConjugate: () => [1, 2, 7].map((count) => [noise(2 * count), noise(2 * count), count]),
  turnBetween: () =>
    [
      [0, 0, 1],
      [1, 2, 3],
      [3, 90, 9],
    ].map(([from, end, lag]) => [noise(200), zeros(3), from, end, lag]),
  turnBack: () =>
    [
      [1, 2],
      [2, 5],
      [7, 5000],
    ].map(([first, end]) => [noise(2 * end), zeros(2 * end), turns(0.3, [first, first + 1, 2]), first, end]),
  turnBackInBlocks: () =>
    [
      [0, 1],
      [3, 200],
    ].map(([first, end]) => [
      noise(16 * end),
      zeros(2 * end),
      turns(0.01, range(8)),
      turns(0.08, [first, 1]),
      first,
      end,
    ]),
  weightedSums: () => [
    [noise(100), noise(30), Int32Array.of(0, 1, 5, 30), Int32Array.of(3, 0, 25), zeros(6), 0, 3],
    [noise(100), noise(30), Int32Array.of(0, 1, 5, 30), Int32Array.of(3, 0, 25), zeros(6), 1, 2],
  ],
  sumJumps: () =>
    [2, 3, 50].map((end) => [noise(2 * end + 4), noise(end + 2), positive(end + 2), zeros(end + 2), end]),
  divide: () => [
    [noise(40), noise(40), positive(20), noise(40), 3, 17, 20],
    [noise(40), noise(40), positive(20), noise(40), 0, 20, 20],
  ],
  subtractProduct: () => [
    [noise(40), noise(40), noise(40), 3, 17, 20],
    [noise(40), noise(40), noise(40), 0, 20, 20],
  ],
  runningPower: () => [1, 40].map((end) => [noise(2 * end + 2), zeros(end + 1), end]),
  decodeUint8: () => decodings(1),
  decodeInt16: () => decodings(2),
  decodeInt24: () => decodings(3),
  decodeInt32: () => decodings(4),
  decodeFloat32: () => [...decodings(4), floatBytes(4)],
  decodeFloat64: () => floatBytes8(),
  extent: () => [1, 4, 7, 1002].map((count) => [floatNoise(count), zeros(1), count]),
  decimate: () =>
    [1, 3, 18].map((factor) => [
      floatNoise(2000),
      noise(8 * factor + 1),
      new Float32Array(50),
      8 * factor + 1,
      factor,
      50,
    ]),
  frameEnergy: () => [1, 4, 7].map((length) => [noise(5 * length), zeros(5), length, 5]),
  frameEnergyOfFloats: () => [1, 4, 7].map((length) => [floatNoise(5 * length), zeros(5), length, 5]),
  fold: () =>
    [1, 2, 9, 10].map((length) => [
      floatNoise(20),
      zeros(Math.ceil(length / 2)),
      zeros(Math.ceil(length / 2)),
      4,
      length,
    ]),
  products: () => [1, 4, 7].map((length) => [noise(3 * length), noise(length), zeros(3), length, 3]),
  toneSums: () =>
    [1, 32, 100].map((count) => [
      noise(count),
      turns(0.2, range(32)),
      turns(6.4, range(4)),
      zeros(2),
      count,
      32,
    ]),
  takeOutTone: () =>
    [1, 32, 100].map((count) => [
      noise(count),
      turns(0.2, range(32)),
      turns(6.4, range(4)),
      0.3,
      -0.7,
      count,
      32,
    ]),
  multiply: () => [1, 2, 9].map((count) => [floatNoise(count), noise(count), zeros(count), count]),
  phasorSums: () => [1, 2, 9].map((count) => [...[0, 1, 2, 3].map(() => noise(count)), zeros(5), count, 5]),
  scaledPower: () => [1, 2, 9].map((count) => [noise(2 * count), zeros(count), 0.7, count]),
  bandSums: () => [0, 1, 8, 9].map((count) => [noise(20), noise(count), zeros(2), 5, count]),
  correlationBins: () =>
    [1, 2, 9].map((count) => [noise(2 * count), noise(2 * count), zeros(2 * count), count]),
  addGaussian: () => range(12).map((seed) => [zeros(2000), strips, Int32Array.of(seed << 20), 0.7, 3, 1990]),
  dither: () =>
    [1, 2, 7, 1000].map((count) => [
      noise(count),
      new Float32Array(count),
      Int32Array.of(-3),
      2 ** 15,
      count,
    ]),
  normalisedCorrelation: () => [
    [floatNoise(101), noise(100), new Float32Array(50), 0.2, 1e-9, 101, 20, 41],
    [floatNoise(100), noise(100), new Float32Array(50), 0.2, 0.2, 100, 20, 41],
  ],
};

/** Some frames of two channels and more, the wanted one not the first. */
function decodings(bytesPerSample: number): Arguments[] {
  const stride = 3 * bytesPerSample;
  return [1, 10].map((count) => [
    anyBytes(stride * count),
    new Float32Array(count + 2),
    bytesPerSample,
    stride,
    2,
    count,
  ]);
}

function floatBytes(bytesPerSample: 4 | 8): Arguments {
  const values = [0.25, -1, Number.NaN, Number.POSITIVE_INFINITY, 1e-30, 1e300];
  const array = bytesPerSample === 4 ? Float32Array.from(values) : Float64Array.from(values);
  const stride = 2 * bytesPerSample;
  return [new Uint8Array(array.buffer), new Float32Array(3), bytesPerSample, stride, 0, 3];
}

function floatBytes8(): Arguments[] {
  return [floatBytes(8), [...floatBytes(8).slice(0, 2), 0, 16, 0, 3]];
}

function inMemory(values: TypedArray): TypedArray {
  const make = { Float64Array: doubles, Float32Array: floats, Int32Array: integers, Uint8Array: bytes };
  const array = make[values.constructor.name as keyof typeof make](values.length);
  array.set(values);
  return array;
}

test('WebAssembly SIMD is there, so that what follows compares something', () => {
  expect(currentHeap()).not.toBeNull();
});

describe('a compiled kernel', () => {
  test.each(Object.keys(CASES) as (keyof Kernels)[])('%s gives what its plain loop gives', (name) => {
    const plain = vi.spyOn(plainKernels, name);
    for (const given of CASES[name]()) {
      const ofPlain = given.map((one) => (typeof one === 'number' ? one : one.slice()));
      const ofCompiled = given.map((one) => (typeof one === 'number' ? one : inMemory(one)));
      const call = (all: Kernels, args: Arguments) => (all[name] as (...args: Arguments) => number)(...args);
      const compiled = call(kernels, ofCompiled);
      expect(plain, 'the compiled one ran').not.toHaveBeenCalled();
      const expected = call(plainKernels, ofPlain);
      plain.mockClear();
      if (name === 'transform') {
        // Which of the two arrays holds the result is left open.
        compare(ofCompiled[compiled] as TypedArray, ofPlain[expected] as TypedArray);
        continue;
      }
      if (expected !== undefined)
        expect(Math.abs(compiled - expected)).toBeLessThan(CLOSE * (1 + Math.abs(expected)));
      ofPlain.forEach((one, i) => {
        if (typeof one !== 'number') compare(ofCompiled[i] as TypedArray, one);
      });
    }
    plain.mockRestore();
  });

  test('does not run on arrays from elsewhere: the plain loop does', () => {
    const plain = vi.spyOn(plainKernels, 'multiply');
    const product = doubles(3);
    kernels.multiply(Float32Array.of(1, 2, 3), doubles(3).fill(2), product, 3);
    expect(Array.from(product)).toEqual([2, 4, 6]);
    expect(plain).toHaveBeenCalledOnce();
    plain.mockRestore();
  });
});

function compare(found: TypedArray, expected: TypedArray): void {
  const largest = Array.from(expected).reduce((most, value) => Math.max(most, Math.abs(value)), 1);
  expect(found.length).toBe(expected.length);
  // Single precision may round to either side where the sums differ in their last digit.
  const close = expected instanceof Float32Array ? 2 ** -23 : CLOSE;
  expected.forEach((value, i) => {
    expect(Math.abs(found[i] - value), `number ${i}`).toBeLessThanOrEqual(close * largest);
  });
}
