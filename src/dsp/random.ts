import { doubles, floats, integers, kept, reused } from './kernels/kernel-arrays.ts';
import { kernels } from './kernels/kernels.ts';
import {
  FIRST_RATIO,
  isUnderCurve,
  placeOf,
  STEP,
  scrambled,
  stripOf,
  strips,
  tail,
  triangularOf,
} from './ziggurat.ts';

/** A seeded source of random numbers: the same seed gives the same numbers on every machine. */
export interface Random {
  /** 0 (included) to 1 (not). */
  uniform(): number;
  /** Mean 0, standard deviation 1. */
  gaussian(): number;
  /** Triangular, -1 to 1: dither in steps of a quantiser. */
  triangular(): number;
  between(range: readonly [number, number]): number;
  /** Adds `sigma * gaussian()` to each of the samples, in a fifth of the time. */
  addGaussian(samples: Float64Array, of: { sigma: number; from?: number; to?: number }): void;
  /** Rounds to steps of a full scale of so many of them, with `triangular()` added to each, and clips at full scale. */
  dithered(samples: Float64Array, fullScale: number): Float32Array;
}

/**
 * Generator mulberry32, whose 2^32 draws are some hours of sound; normal numbers by the ziggurat method (`ziggurat.ts`).
 *
 * Several seeds (file, channel, purpose) may be given; each combination is a stream of its own.
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
    const place = placeOf(draw);
    const x = place * strips[strip];
    if (Math.abs(place) < strips[FIRST_RATIO + strip]) return x;
    if (strip === 0) return place < 0 ? -tail(uniform) : tail(uniform);
    return isUnderCurve(strip, x, uniform()) ? x : gaussian();
  };
  /** Block by block in the kernels' memory, where `work` is done on each; the state goes there and back. */
  const byBlocks = (
    samples: Float64Array,
    { from, to }: { from: number; to: number },
    work: (block: Float64Array, at: number, state: Int32Array) => void,
  ) => {
    const kernelState = stateMemory();
    for (let start = from; start < to; start += BLOCK) {
      const block = blockMemory(Math.min(BLOCK, to - start));
      block.set(samples.subarray(start, start + block.length));
      kernelState[0] = state;
      work(block, start, kernelState);
      state = kernelState[0];
    }
  };
  const addGaussian: Random['addGaussian'] = (samples, { sigma, from = 0, to = samples.length }) =>
    byBlocks(samples, { from, to }, (block, start, kernelState) => {
      const edges = edgesMemory();
      const fill = (at: number) => kernels.addGaussian(block, edges, kernelState, sigma, at, block.length);
      for (let at = fill(0); at < block.length; at = fill(at + 1)) {
        // The kernel stops at what is left to do here: its last draw was one of the tail.
        state = kernelState[0];
        const size = tail(uniform);
        block[at] += sigma * (placeOf(scrambled(kernelState[0])) < 0 ? -size : size);
        kernelState[0] = state;
      }
      samples.set(block, start);
    });
  const dithered: Random['dithered'] = (samples, fullScale) => {
    const target = new Float32Array(samples.length);
    byBlocks(samples, { from: 0, to: samples.length }, (block, start, kernelState) => {
      const rounded = roundedMemory(block.length);
      kernels.dither(block, rounded, kernelState, fullScale, block.length);
      target.set(rounded, start);
    });
    return target;
  };
  return {
    uniform,
    gaussian,
    triangular: () => triangularOf(bits()),
    between: ([from, to]) => from + (to - from) * uniform(),
    addGaussian,
    dithered,
  };
}

/** Small enough for the processor's cache. */
const BLOCK = 8192;
const blockMemory = reused(doubles);
const roundedMemory = reused(floats);
const keptMemory = kept<{ edges: Float64Array; state: Int32Array }>(1);

function tables() {
  return keptMemory('', () => {
    const edges = doubles(strips.length);
    edges.set(strips);
    return { edges, state: integers(1) };
  });
}

function edgesMemory(): Float64Array {
  return tables().edges;
}

function stateMemory(): Int32Array {
  return tables().state;
}

/** Folds another seed into a state, so that neighbouring seeds give unrelated streams. */
function mixed(state: number, seed: number): number {
  const low = firstOf(state ^ seed);
  return firstOf(low ^ Math.floor(seed / 2 ** 32)) | 0;
}

function firstOf(state: number): number {
  return scrambled((state + STEP) | 0);
}
