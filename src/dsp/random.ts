/** A seeded source of random numbers: the same seed gives the same numbers on every machine. */
export interface Random {
  /** 0 (included) to 1 (not). */
  uniform(): number;
  /** Mean 0, standard deviation 1. */
  gaussian(): number;
  /** Triangular, -1 to 1: dither in steps of a quantiser. */
  triangular(): number;
  between(range: readonly [number, number]): number;
  /** Adds `sigma * gaussian()` to each of the samples, in a third of the time. */
  addGaussian(samples: Float64Array, of: { sigma: number; from?: number; to?: number }): void;
  /** Adds `triangular()` to each of the samples. */
  addTriangular(samples: Float64Array): void;
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
  let state = seeds.reduce(mixed, 0);
  const bits = () => {
    state = (state + STEP) | 0;
    return scrambled(state);
  };
  const uniform = () => bits() / 2 ** 32;
  const gaussian = (): number => {
    const draw = bits();
    const strip = stripOf(draw);
    const signed = placeOf(draw);
    return Math.abs(signed) < edgeRatio[strip] ? signed * stripEdge[strip] : outside(strip, signed);
  };
  /** What lies in the tail or beside the curve: drawn again where it lies above it. */
  const outside = (strip: number, signed: number): number => {
    if (strip === 0) return signed < 0 ? -tail(uniform) : tail(uniform);
    const x = signed * stripEdge[strip];
    const inner = Math.exp(-0.5 * (stripEdge[strip + 1] ** 2 - x * x));
    const outer = Math.exp(-0.5 * (stripEdge[strip] ** 2 - x * x));
    return outer + uniform() * (inner - outer) < 1 ? x : gaussian();
  };
  // The state in a variable of the loop: that of a closure is read and written at every draw.
  const addGaussian: Random['addGaussian'] = (samples, { sigma, from = 0, to = samples.length }) => {
    let here = state;
    for (let n = from; n < to; n++) {
      here = (here + STEP) | 0;
      const draw = scrambled(here);
      const strip = stripOf(draw);
      const signed = placeOf(draw);
      if (Math.abs(signed) < edgeRatio[strip]) {
        samples[n] += sigma * (signed * stripEdge[strip]);
        continue;
      }
      state = here;
      samples[n] += sigma * outside(strip, signed);
      here = state;
    }
    state = here;
  };
  const addTriangular = (samples: Float64Array) => {
    let here = state;
    for (let n = 0; n < samples.length; n++) {
      here = (here + STEP) | 0;
      samples[n] += triangularOf(scrambled(here));
    }
    state = here;
  };
  return {
    uniform,
    gaussian,
    triangular: () => triangularOf(bits()),
    between: ([from, to]) => from + (to - from) * uniform(),
    addGaussian,
    addTriangular,
  };
}

/** Of the ziggurat (Marsaglia and Tsang, 2000). */
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

/** The lowest 7 bits; the other 25 say where in the strip, from -1 to 1. */
function stripOf(draw: number): number {
  return draw & (STRIPS - 1);
}

function placeOf(draw: number): number {
  return (draw >>> 7) / 2 ** 24 - 1;
}

function triangularOf(draw: number): number {
  return ((draw & 0xffff) - (draw >>> 16)) / 2 ** 16;
}

/** Folds another seed into a state, so that neighbouring seeds give unrelated streams. */
function mixed(state: number, seed: number): number {
  const low = firstOf(state ^ seed);
  return firstOf(low ^ Math.floor(seed / 2 ** 32)) | 0;
}

function firstOf(state: number): number {
  return scrambled((state + STEP) | 0);
}

/** mulberry32: the state goes up by this, and what it is then is scrambled. */
const STEP = 0x6d2b79f5;

function scrambled(state: number): number {
  let bits = Math.imul(state ^ (state >>> 15), 1 | state);
  bits = (bits + Math.imul(bits ^ (bits >>> 7), 61 | bits)) ^ bits;
  return (bits ^ (bits >>> 14)) >>> 0;
}
