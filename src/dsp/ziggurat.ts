/**
 * What the generator of `random.ts` is made of: bits by mulberry32 (public domain, Tommy Ettinger), normal numbers from them by
 * the ziggurat method.
 *
 * Source of the ziggurat: Marsaglia and Tsang, J. Statistical Software 5(8), 2000, in the form of Doornik, 2005, which
 * takes strip and position from different bits (from memory).
 */
const STRIPS = 128;
/** Where the tail begins, and the area of each strip, for 128 strips (Marsaglia and Tsang). */
const TAIL_START = 3.442619855899;
const STRIP_AREA = 9.91256303526217e-3;

/** mulberry32: the state goes up by this, and what it is then is scrambled. */
export const STEP = 0x6d2b79f5;

export function scrambled(state: number): number {
  let bits = Math.imul(state ^ (state >>> 15), 1 | state);
  bits = (bits + Math.imul(bits ^ (bits >>> 7), 61 | bits)) ^ bits;
  return (bits ^ (bits >>> 14)) >>> 0;
}

/** Edges of the strips, the last 0 at the top, and behind them the ratio of each to the one before. */
export const strips = edgesAndRatios();
export const FIRST_RATIO = STRIPS + 1;

function edgesAndRatios(): Float64Array {
  const edges = new Float64Array(STRIPS + 1);
  edges[0] = STRIP_AREA / Math.exp(-0.5 * TAIL_START ** 2);
  edges[1] = TAIL_START;
  for (let i = 2; i < STRIPS; i++) {
    const height = STRIP_AREA / edges[i - 1] + Math.exp(-0.5 * edges[i - 1] ** 2);
    edges[i] = Math.sqrt(-2 * Math.log(height));
  }
  return Float64Array.from([...edges, ...edges.slice(1).map((edge, i) => edge / edges[i])]);
}

/** The lowest 7 bits of a draw; the other 25 say where in the strip, from -1 to 1. */
export function stripOf(draw: number): number {
  return draw & (STRIPS - 1);
}

export function placeOf(draw: number): number {
  return (draw >>> 7) / 2 ** 24 - 1;
}

/** Whether a number beside a strip's inner part still lies under the curve, by another number from 0 to 1. */
export function isUnderCurve(strip: number, x: number, uniform: number): boolean {
  const inner = Math.exp(-0.5 * (strips[strip + 1] ** 2 - x * x));
  const outer = Math.exp(-0.5 * (strips[strip] ** 2 - x * x));
  return outer + uniform * (inner - outer) < 1;
}

/** A number of the tail, beyond the first strip. */
export function tail(uniform: () => number): number {
  for (;;) {
    const x = -Math.log(1 - uniform()) / TAIL_START;
    const y = -Math.log(1 - uniform());
    if (2 * y >= x * x) return TAIL_START + x;
  }
}

/** Triangular, -1 to 1, from the two halves of a draw. */
export function triangularOf(draw: number): number {
  return ((draw & 0xffff) - (draw >>> 16)) / 2 ** 16;
}
