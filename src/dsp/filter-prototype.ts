import type { AnalogSection } from './analog-section.ts';
import { besselSections } from './bessel-poles.ts';

export type FilterFamily = 'butterworth' | 'linkwitz-riley' | 'bessel';
export type FilterSide = 'low-pass' | 'high-pass';

export interface PrototypeFilter {
  readonly family: FilterFamily;
  readonly order: number;
  readonly side: FilterSide;
}

/** Where a cascade is evaluated: `sampleRateHz` null means the analogue filter, otherwise its bilinear transform. */
interface SectionsAt<Frequency> {
  readonly frequencyHz: Frequency;
  readonly cornerHz: number;
  readonly sampleRateHz: number | null;
}

/** Q of a shelf or second-order section that is maximally flat (Butterworth). */
export const FLAT_Q = Math.SQRT1_2;

export const ORDERS_OF_FAMILY: Readonly<Record<FilterFamily, readonly number[]>> = {
  butterworth: [1, 2, 3, 4, 5, 6, 7, 8],
  'linkwitz-riley': [2, 4, 6, 8],
  bessel: [1, 2, 3, 4, 5, 6, 7, 8],
};

/** Of a filter that is given by its slope: 6 dB an octave each (20 log 2, rounded as the trade does), at least 1. */
export function orderOfSlope(slopeDbPerOctave: number): number {
  return Math.max(1, Math.round(slopeDbPerOctave / 6));
}

/**
 * The cascade of a low-pass or high-pass, gain 1 in its pass band.
 *
 * Butterworth and Bessel are 3.01 dB down at the corner (Bessel: magnitude normalisation, as scipy's `norm='mag'`),
 * Linkwitz-Riley 6.02 dB: it is a Butterworth of half the order, squared (Linkwitz, JAES 24(1), 1976). A high-pass is the
 * low-pass mirrored, s -> 1/s.
 *
 * @throws RangeError for an order that `ORDERS_OF_FAMILY` does not list.
 */
export function prototypeSections({ family, order, side }: PrototypeFilter): AnalogSection[] {
  if (!ORDERS_OF_FAMILY[family].includes(order)) {
    throw new RangeError(
      `${family} of order ${order}: expected one of ${ORDERS_OF_FAMILY[family].join(', ')}`,
    );
  }
  const lowPass = lowPassSections(family, order);
  return side === 'low-pass' ? lowPass : lowPass.map(mirrored);
}

/**
 * Low shelf: `gainDb` at low frequencies, half of it (in decibels) at the corner, 0 dB far above.
 *
 * Source: W3C Note "Audio EQ Cookbook", 8 June 2021, as are the other shelf, the peak and the all-pass.
 */
export function lowShelfSections({ gainDb, q = FLAT_Q }: { gainDb: number; q?: number }): AnalogSection[] {
  const root = 10 ** (gainDb / 40);
  const damping = Math.sqrt(root) / q;
  return [{ b: [root, root * damping, root * root], a: [root, damping, 1] }];
}

/** High shelf: 0 dB at low frequencies, half of `gainDb` at the corner, `gainDb` far above. */
export function highShelfSections(shelf: { gainDb: number; q?: number }): AnalogSection[] {
  return lowShelfSections(shelf).map(mirrored);
}

/** Peak or dip: `gainDb` at the corner, 0 dB far from it. */
export function peakingSections({ gainDb, q }: { gainDb: number; q: number }): AnalogSection[] {
  const root = 10 ** (gainDb / 40);
  return [{ b: [1, root / q, 1], a: [1, 1 / (root * q), 1] }];
}

/** All-pass with 0 degrees at low frequencies; order 1 turns by 90 degrees at the corner, order 2 by 180. */
export function allPassSections({ order, q = FLAT_Q }: { order: 1 | 2; q?: number }): AnalogSection[] {
  return order === 1 ? [{ b: [0, -1, 1], a: [0, 1, 1] }] : [{ b: [1, -1 / q, 1], a: [1, 1 / q, 1] }];
}

/**
 * Complex response of a cascade at one frequency: s = j f / corner, or, with a sample rate, the bilinear transform
 * pre-warped at the corner, s = j tan(pi f / rate) / tan(pi corner / rate). An empty cascade is 1.
 */
export function evaluateSections(
  sections: readonly AnalogSection[],
  { frequencyHz, cornerHz, sampleRateHz }: SectionsAt<number>,
): { real: number; imag: number } {
  const response = evaluateOnGrid(sections, {
    frequencyHz: Float64Array.of(frequencyHz),
    cornerHz,
    sampleRateHz,
  });
  return { real: response.real[0], imag: response.imag[0] };
}

/** `evaluateSections` at many frequencies. */
export function evaluateOnGrid(
  sections: readonly AnalogSection[],
  { frequencyHz, cornerHz, sampleRateHz }: SectionsAt<Float64Array>,
): { real: Float64Array; imag: Float64Array } {
  const real = new Float64Array(frequencyHz.length).fill(1);
  const imag = new Float64Array(frequencyHz.length);
  const warp = sampleRateHz === null ? 1 / cornerHz : 1 / Math.tan((Math.PI * cornerHz) / sampleRateHz);
  for (let i = 0; i < frequencyHz.length; i++) {
    const w =
      warp * (sampleRateHz === null ? frequencyHz[i] : Math.tan((Math.PI * frequencyHz[i]) / sampleRateHz));
    for (const { a, b } of sections) {
      const topReal = b[2] - b[0] * w * w;
      const topImag = b[1] * w;
      const bottomReal = a[2] - a[0] * w * w;
      const bottomImag = a[1] * w;
      const bottomSquare = bottomReal * bottomReal + bottomImag * bottomImag;
      const ratioReal = (topReal * bottomReal + topImag * bottomImag) / bottomSquare;
      const ratioImag = (topImag * bottomReal - topReal * bottomImag) / bottomSquare;
      const before = real[i];
      real[i] = before * ratioReal - imag[i] * ratioImag;
      imag[i] = before * ratioImag + imag[i] * ratioReal;
    }
  }
  return { real, imag };
}

function lowPassSections(family: FilterFamily, order: number): AnalogSection[] {
  switch (family) {
    case 'butterworth':
      return butterworthSections(order);
    case 'linkwitz-riley':
      return [...butterworthSections(order / 2), ...butterworthSections(order / 2)];
    case 'bessel':
      return besselSections(order);
  }
}

/** Poles evenly spaced on the unit circle: pair k has a damping of 2 sin((2k - 1) pi / 2n). */
function butterworthSections(order: number): AnalogSection[] {
  const pairs = Array.from({ length: Math.floor(order / 2) }, (_, k): AnalogSection => {
    const damping = 2 * Math.sin(((2 * k + 1) * Math.PI) / (2 * order));
    return { b: [0, 0, 1], a: [1, damping, 1] };
  });
  return order % 2 === 0 ? pairs : [...pairs, { b: [0, 0, 1], a: [0, 1, 1] }];
}

/** s -> 1/s, multiplied out by s for a first-order section and by s^2 for a second-order one. */
function mirrored({ a, b }: AnalogSection): AnalogSection {
  const firstOrder = a[0] === 0 && b[0] === 0;
  return firstOrder
    ? { b: [0, b[2], b[1]], a: [0, a[2], a[1]] }
    : { b: [b[2], b[1], b[0]], a: [a[2], a[1], a[0]] };
}
