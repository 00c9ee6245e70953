/** A seeded source of random numbers: the same seed gives the same numbers on every machine. */
export interface Random {
  /** 0 (included) to 1 (not). */
  uniform(): number;
  /** Mean 0, standard deviation 1. */
  gaussian(): number;
  /** Triangular, -1 to 1: dither in steps of a quantiser. */
  triangular(): number;
  between(range: readonly [number, number]): number;
}

/**
 * Generator mulberry32 (public domain, Tommy Ettinger), whose 2^32 draws are some hours of sound; normal numbers by the
 * ziggurat method.
 *
 * Several seeds (file, channel, purpose) may be given; each combination is a stream of its own.
 * Source of the ziggurat: Marsaglia and Tsang, J. Statistical Software 5(8), 2000, in the form of Doornik, 2005, which
 * takes strip and position from different bits (from memory).
 */
export function seededRandom(...seeds: number[]): Random {
  const bits = mulberry32(seeds.reduce(mixed, 0));
  const uniform = () => bits() / 2 ** 32;
  const gaussian = () => {
    for (;;) {
      const draw = bits();
      const strip = draw & (STRIPS - 1); // the lowest 7 bits; the other 25 say where in the strip
      const signed = (draw >>> 7) / 2 ** 24 - 1;
      const x = signed * stripEdge[strip];
      if (Math.abs(signed) < edgeRatio[strip]) return x;
      if (strip === 0) return signed < 0 ? -tail(uniform) : tail(uniform);
      const inner = Math.exp(-0.5 * (stripEdge[strip + 1] ** 2 - x * x));
      const outer = Math.exp(-0.5 * (stripEdge[strip] ** 2 - x * x));
      if (outer + uniform() * (inner - outer) < 1) return x;
    }
  };
  const triangular = () => {
    const draw = bits();
    return ((draw & 0xffff) - (draw >>> 16)) / 2 ** 16;
  };
  return { uniform, gaussian, triangular, between: ([from, to]) => from + (to - from) * uniform() };
}

const STRIPS = 128;
/** Where the tail begins, and the area of each strip, for 128 strips (Marsaglia and Tsang). */
const TAIL_START = 3.442619855899;
const STRIP_AREA = 9.91256303526217e-3;
const stripEdge = stripEdges();
const edgeRatio = stripEdge.slice(0, STRIPS).map((edge, i) => stripEdge[i + 1] / edge);

function stripEdges(): Float64Array {
  const edges = new Float64Array(STRIPS + 1); // the last edge is 0, at the top
  edges[0] = STRIP_AREA / Math.exp(-0.5 * TAIL_START ** 2);
  edges[1] = TAIL_START;
  for (let i = 2; i < STRIPS; i++) {
    const height = STRIP_AREA / edges[i - 1] + Math.exp(-0.5 * edges[i - 1] ** 2);
    edges[i] = Math.sqrt(-2 * Math.log(height));
  }
  return edges;
}

function tail(uniform: () => number): number {
  for (;;) {
    const x = -Math.log(1 - uniform()) / TAIL_START;
    const y = -Math.log(1 - uniform());
    if (2 * y >= x * x) return TAIL_START + x;
  }
}

/** Folds another seed into a state, so that neighbouring seeds give unrelated streams. */
function mixed(state: number, seed: number): number {
  const low = mulberry32(state ^ seed)();
  return mulberry32(low ^ Math.floor(seed / 2 ** 32))() | 0;
}

function mulberry32(seed: number): () => number {
  let state = seed | 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let bits = Math.imul(state ^ (state >>> 15), 1 | state);
    bits = (bits + Math.imul(bits ^ (bits >>> 7), 61 | bits)) ^ bits;
    return (bits ^ (bits >>> 14)) >>> 0;
  };
}
