/**
 * Triangular (TPDF) dither: noise in steps of the quantiser, -1 to 1, that makes the error of rounding independent of
 * the signal. Dither and rounding together have the power of a quarter of a squared step, -93.3 dBFS at 16 bits.
 *
 * Source: Lipshitz, Wannamaker, Vanderkooy, J. Audio Eng. Soc. 40(5), 1992 (from memory). The generator is mulberry32
 * (public domain, Tommy Ettinger): 32 bits of state are enough for dither, and the same seed gives the same file.
 */
export function triangularDither(seed: number): () => number {
  let state = seed | 0;
  const uniform = () => {
    state = (state + 0x6d2b79f5) | 0;
    let bits = Math.imul(state ^ (state >>> 15), 1 | state);
    bits = (bits + Math.imul(bits ^ (bits >>> 7), 61 | bits)) ^ bits;
    return ((bits ^ (bits >>> 14)) >>> 0) / 2 ** 32;
  };
  return () => uniform() - uniform();
}
