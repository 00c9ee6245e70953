import { describe, expect, test } from 'vitest';
import { seededRandom } from '../../../src/dsp/random.ts';
import { hissPrint, isSamePrint } from '../../../src/measure/disturbances/hiss-print.ts';

const hiss = (seed: number, hum = 0) => {
  const random = seededRandom(seed);
  return Float32Array.from(
    { length: 4000 },
    (_, n) => 1e-4 * random.gaussian() + hum * Math.sin((2 * Math.PI * 50 * n) / 48_000),
  );
};
const print = (samples: Float32Array) => hissPrint(samples)!;

describe('the hiss of a take', () => {
  test('is known again louder, cut by half a millisecond, and rounded to 16 bits', () => {
    const copy = hiss(1).map((value) => Math.round(2 * value * 2 ** 15) / 2 ** 15);
    expect(isSamePrint(print(hiss(1)), print(copy.subarray(24)))).toBe(true);
  });

  test.each([2, 3, 4, 5])('differs from take to take (%i), also under one hum', (seed) => {
    expect(isSamePrint(print(hiss(1, 0.01)), print(hiss(seed, 0.01)))).toBe(false);
  });

  test('is none where nothing was recorded, or only a whine', () => {
    expect(hissPrint(new Float32Array(4000))).toBeNull();
    expect(hissPrint(Float32Array.from({ length: 4000 }, (_, n) => Math.sin(n / 3)))).toBeNull();
  });
});
