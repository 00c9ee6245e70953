import type { AnalogSection } from './analog-section.ts';

/** (b0 + b1 z^-1 + b2 z^-2) / (1 + a1 z^-1 + a2 z^-2). */
export interface Biquad {
  readonly b0: number;
  readonly b1: number;
  readonly b2: number;
  readonly a1: number;
  readonly a2: number;
}

/**
 * Bilinear transform of a prototype, pre-warped so that its corner stays at `cornerHz`; first-order sections keep
 * b2 = a2 = 0.
 *
 * @throws RangeError unless 0 < cornerHz < sampleRateHz / 2.
 */
export function toBiquads(
  sections: readonly AnalogSection[],
  { cornerHz, sampleRateHz }: { cornerHz: number; sampleRateHz: number },
): Biquad[] {
  if (!(cornerHz > 0 && cornerHz < sampleRateHz / 2)) {
    throw new RangeError(`corner ${cornerHz} Hz: expected between 0 and half of ${sampleRateHz} Hz`);
  }
  const k = 1 / Math.tan((Math.PI * cornerHz) / sampleRateHz); // s = k (1 - 1/z) / (1 + 1/z)
  return sections.map(({ a, b }) => {
    const firstOrder = a[0] === 0 && b[0] === 0;
    const taps = firstOrder ? firstOrderTaps : secondOrderTaps;
    const top = taps(b, k);
    const bottom = taps(a, k);
    const scale = 1 / bottom[0];
    return {
      b0: top[0] * scale,
      b1: top[1] * scale,
      b2: top[2] * scale,
      a1: bottom[1] * scale,
      a2: bottom[2] * scale,
    };
  });
}

/** Filters `samples` where they are, starting at rest: transposed direct form II in double precision. */
export function filterInPlace(samples: Float64Array, biquads: readonly Biquad[]): void {
  for (const { b0, b1, b2, a1, a2 } of biquads) {
    let state1 = 0;
    let state2 = 0;
    for (let i = 0; i < samples.length; i++) {
      const input = samples[i];
      const output = b0 * input + state1;
      state1 = b1 * input - a1 * output + state2;
      state2 = b2 * input - a2 * output;
      samples[i] = output;
    }
  }
}

function firstOrderTaps([, c1, c2]: AnalogSection['b'], k: number): [number, number, number] {
  return [c1 * k + c2, c2 - c1 * k, 0];
}

function secondOrderTaps([c0, c1, c2]: AnalogSection['b'], k: number): [number, number, number] {
  return [c0 * k * k + c1 * k + c2, 2 * (c2 - c0 * k * k), c0 * k * k - c1 * k + c2];
}
