import { type FilterFamily, prototypeSections } from '../filter-prototype.ts';

/**
 * Natural logarithm of a low-pass prototype's magnitude, and its unwrapped phase, against x = ln(frequency / corner), with
 * their derivatives by x. A fit moves a corner by moving x, so that one table serves every corner, and a high-pass is the
 * table read backwards (s -> 1/s turns H(x) into the conjugate of H(-x)).
 */
interface EdgeTable {
  readonly lnMagnitude: Float64Array;
  readonly lnMagnitudeSlope: Float64Array;
  readonly phase: Float64Array;
  readonly phaseSlope: Float64Array;
}

/** In the logarithm of frequency, interpolated by value and slope (chosen here). */
export const TABLE_STEP = 0.02;
/** e^9 = 8100: beyond it a skirt is straight to 1e-7. */
export const TABLE_REACH = 9;

/** By family, then by order: asked for at every step of every fit, where building a key took longer than looking up. */
const tables = new Map<FilterFamily, EdgeTable[]>();

export function edgeTable(family: FilterFamily, order: number): EdgeTable {
  const ofFamily = tables.get(family) ?? [];
  tables.set(family, ofFamily);
  ofFamily[order] ??= computedTable(family, order);
  return ofFamily[order];
}

function computedTable(family: FilterFamily, order: number): EdgeTable {
  const length = Math.round((2 * TABLE_REACH) / TABLE_STEP) + 1;
  const [lnMagnitude, lnMagnitudeSlope, phase, phaseSlope] = [0, 1, 2, 3].map(() => new Float64Array(length));
  for (const { a } of prototypeSections({ family, order, side: 'low-pass' })) {
    for (let i = 0; i < length; i++) {
      const w = Math.exp(i * TABLE_STEP - TABLE_REACH);
      const real = a[2] - a[0] * w * w;
      const imag = a[1] * w;
      const square = real * real + imag * imag;
      const realSlope = -2 * a[0] * w * w;
      lnMagnitude[i] -= 0.5 * Math.log(square);
      phase[i] -= Math.atan2(imag, real);
      lnMagnitudeSlope[i] -= (realSlope * real + imag * imag) / square;
      phaseSlope[i] -= (imag * real - realSlope * imag) / square;
    }
  }
  return { lnMagnitude, lnMagnitudeSlope, phase, phaseSlope };
}
