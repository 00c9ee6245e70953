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
  const stream: Stream = { state: seeds.reduce(mixed, 0) };
  return {
    uniform: () => uniform(stream),
    gaussian: () => gaussian(stream),
    triangular: () => triangularOf(bits(stream)),
    between: ([from, to]) => from + (to - from) * uniform(stream),
    addGaussian: (samples, { sigma, from = 0, to = samples.length }) =>
      addGaussian(stream, samples, { sigma, from, to }),
    dithered: (samples, fullScale) => dithered(stream, samples, fullScale),
  };
}

interface Stream {
  state: number;
}

function bits(stream: Stream): number {
  stream.state = (stream.state + STEP) | 0;
  return scrambled(stream.state);
}

function uniform(stream: Stream): number {
  return bits(stream) / 2 ** 32;
}

function gaussian(stream: Stream): number {
  const draw = bits(stream);
  const strip = stripOf(draw);
  const place = placeOf(draw);
  const x = place * strips[strip];
  if (Math.abs(place) < strips[FIRST_RATIO + strip]) return x;
  if (strip === 0) return place < 0 ? -tailOf(stream) : tailOf(stream);
  return isUnderCurve(strip, x, uniform(stream)) ? x : gaussian(stream);
}

function tailOf(stream: Stream): number {
  return tail(() => uniform(stream));
}

function addGaussian(
  stream: Stream,
  samples: Float64Array,
  { sigma, from, to }: { sigma: number; from: number; to: number },
): void {
  const { edges } = tables();
  byBlocks(stream, { samples, from, to }, (block, start, kernelState) => {
    const fill = (at: number) => kernels.addGaussian(block, edges, kernelState, sigma, at, block.length);
    for (let at = fill(0); at < block.length; at = fill(at + 1)) {
      // The kernel stops at what is left to do here: its last draw was one of the tail.
      stream.state = kernelState[0];
      const size = tailOf(stream);
      block[at] += sigma * (placeOf(scrambled(kernelState[0])) < 0 ? -size : size);
      kernelState[0] = stream.state;
    }
    samples.set(block, start);
  });
}

function dithered(stream: Stream, samples: Float64Array, fullScale: number): Float32Array {
  const target = new Float32Array(samples.length);
  byBlocks(stream, { samples, from: 0, to: samples.length }, (block, start, kernelState) => {
    const rounded = roundedMemory(block.length);
    kernels.dither(block, rounded, kernelState, fullScale, block.length);
    target.set(rounded, start);
  });
  return target;
}

/** Block by block in the kernels' memory, where `work` is done on each; the state goes there and back. */
function byBlocks(
  stream: Stream,
  { samples, from, to }: { samples: Float64Array; from: number; to: number },
  work: (block: Float64Array, at: number, state: Int32Array) => void,
): void {
  const kernelState = tables().state;
  for (let start = from; start < to; start += BLOCK) {
    const block = blockMemory(Math.min(BLOCK, to - start));
    block.set(samples.subarray(start, start + block.length));
    kernelState[0] = stream.state;
    work(block, start, kernelState);
    stream.state = kernelState[0];
  }
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

/** Folds another seed into a state, so that neighbouring seeds give unrelated streams. */
function mixed(state: number, seed: number): number {
  const low = firstOf(state ^ seed);
  return firstOf(low ^ Math.floor(seed / 2 ** 32)) | 0;
}

function firstOf(state: number): number {
  return scrambled((state + STEP) | 0);
}
