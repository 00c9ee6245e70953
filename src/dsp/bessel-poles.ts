import type { AnalogSection } from './analog-section.ts';

/**
 * Bessel low-pass of any order up to 8 as a cascade, 3.01 dB down at 1 rad/s.
 *
 * The denominator is the reverse Bessel polynomial, coefficient k: (2n-k)! / (2^(n-k) k! (n-k)!) (Thomson, Proc. IEE 96,
 * 1949; from memory), factored by Durand-Kerner iteration and scaled so that |H(j)|^2 = 1/2.
 */
export function besselSections(order: number): AnalogSection[] {
  const sections = sectionsOfOrder.get(order) ?? factoredSections(order);
  sectionsOfOrder.set(order, sections);
  return [...sections];
}

/** Fits ask for the same few orders thousands of times. */
const sectionsOfOrder = new Map<number, readonly AnalogSection[]>();

/** Roots nearer to the real axis than this are real; those of a pair are at least 0.8 away from it up to order 8. */
const REAL_ROOT = 1e-6;
const ITERATIONS = 200;

interface Complex {
  readonly real: number;
  readonly imag: number;
}

function factoredSections(order: number): AnalogSection[] {
  const polynomial = reverseBesselPolynomial(order);
  const scale = halfPowerFrequency(polynomial);
  return rootsOf(polynomial)
    .filter(({ imag }) => imag > -REAL_ROOT)
    .map(({ real, imag }): AnalogSection => {
      if (imag < REAL_ROOT) return { b: [0, 0, 1], a: [0, scale / -real, 1] };
      const square = real * real + imag * imag;
      return { b: [0, 0, 1], a: [(scale * scale) / square, (-2 * real * scale) / square, 1] };
    });
}

/** Ascending powers; the highest coefficient is 1. */
function reverseBesselPolynomial(order: number): number[] {
  return Array.from(
    { length: order + 1 },
    (_, k) => factorial(2 * order - k) / (2 ** (order - k) * factorial(k) * factorial(order - k)),
  );
}

/** The frequency at which the polynomial has sqrt(2) times its value at 0, by bisection: |theta(jw)| only rises. */
function halfPowerFrequency(polynomial: readonly number[]): number {
  let low = 0;
  let high = 10;
  for (let i = 0; i < ITERATIONS; i++) {
    const middle = (low + high) / 2;
    const { real, imag } = valueAt(polynomial, { real: 0, imag: middle });
    if (Math.hypot(real, imag) < Math.SQRT2 * polynomial[0]) low = middle;
    else high = middle;
  }
  return low;
}

function rootsOf(polynomial: readonly number[]): Complex[] {
  const order = polynomial.length - 1;
  const radius = polynomial[0] ** (1 / order);
  const roots = Array.from({ length: order }, (_, k): Complex => {
    const angle = (2 * Math.PI * k) / order + 0.4; // off the axes, or symmetry stalls the iteration
    return { real: radius * Math.cos(angle), imag: radius * Math.sin(angle) };
  });
  for (let iteration = 0; iteration < ITERATIONS; iteration++) {
    for (let k = 0; k < order; k++) {
      let step = valueAt(polynomial, roots[k]);
      for (let other = 0; other < order; other++) {
        if (other === k) continue;
        step = divided(step, {
          real: roots[k].real - roots[other].real,
          imag: roots[k].imag - roots[other].imag,
        });
      }
      roots[k] = { real: roots[k].real - step.real, imag: roots[k].imag - step.imag };
    }
  }
  return roots;
}

function valueAt(polynomial: readonly number[], at: Complex): Complex {
  let real = 0;
  let imag = 0;
  for (let k = polynomial.length - 1; k >= 0; k--) {
    [real, imag] = [real * at.real - imag * at.imag + polynomial[k], real * at.imag + imag * at.real];
  }
  return { real, imag };
}

function divided(top: Complex, bottom: Complex): Complex {
  const square = bottom.real * bottom.real + bottom.imag * bottom.imag;
  return {
    real: (top.real * bottom.real + top.imag * bottom.imag) / square,
    imag: (top.imag * bottom.real - top.real * bottom.imag) / square,
  };
}

function factorial(n: number): number {
  return n <= 1 ? 1 : n * factorial(n - 1);
}
