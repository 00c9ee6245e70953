import { allocate, currentHeap, free, heapGeneration, replaceHeap } from './heap.ts';

const releases: (() => void)[] = [];

/** Arrays on which kernels run at full speed. They are ordinary typed arrays, and stay valid whatever becomes of the memory. */
export function doubles(count: number): Float64Array {
  const place = allocate(8 * count);
  return noted(place === null ? new Float64Array(count) : new Float64Array(place.buffer, place.at, count));
}

export function floats(count: number): Float32Array {
  const place = allocate(4 * count);
  return noted(place === null ? new Float32Array(count) : new Float32Array(place.buffer, place.at, count));
}

export function integers(count: number): Int32Array {
  const place = allocate(4 * count);
  return noted(place === null ? new Int32Array(count) : new Int32Array(place.buffer, place.at, count));
}

export function bytes(count: number): Uint8Array {
  const place = allocate(count);
  return noted(place === null ? new Uint8Array(count) : new Uint8Array(place.buffer, place.at, count));
}

/**
 * Working memory that is overwritten each time it is asked for: fresh megabytes cost more than what is done in them.
 *
 * @param make one of the functions above
 * @returns a function that gives `count` numbers of any content
 */
export function reused<A extends Float64Array | Float32Array | Uint8Array>(
  make: (count: number) => A,
): (count: number) => A {
  let kept: { array: A; generation: number } | null = null;
  whenReleased(() => {
    kept = null;
  });
  return (count) => {
    if (kept === null || kept.array.length < count || kept.generation !== heapGeneration()) {
      if (kept !== null) free(kept.array);
      const { value } = withArraysNoted(() => make(count)); // not to those of whoever asks
      kept = { array: value, generation: heapGeneration() };
    }
    return kept.array.subarray(0, count) as A;
  };
}

/**
 * Tables that are made once for a key and kept, arrays of kernels and all.
 *
 * @param most of them; the oldest makes room, and must not be in use any more
 */
export function kept<V>(most: number = Number.POSITIVE_INFINITY): (key: string, make: () => V) => V {
  const known = new Map<string, { value: V; arrays: ArrayBufferView[] }>();
  let generation = heapGeneration();
  whenReleased(() => known.clear());
  return (key, make) => {
    if (generation !== heapGeneration()) known.clear();
    const found = known.get(key);
    if (found !== undefined) return found.value;
    if (known.size >= most) {
      const [[oldest, { arrays }]] = known;
      for (const array of arrays) free(array);
      known.delete(oldest);
    }
    const one = withArraysNoted(make);
    // Making it may have replaced the memory: then nothing from before counts.
    if (generation !== heapGeneration()) known.clear();
    generation = heapGeneration();
    known.set(key, one);
    return one.value;
  };
}

/**
 * Gives all memory of tables and work back: for those who have measured, and go on to something else. What is asked for later
 * is made anew.
 */
export function releaseKernelMemory(byteCount?: number): void {
  replaceHeap(byteCount);
  for (const release of releases) release();
}

/** The same where it is large: tables of what is small cost more to make again than they take. */
export function releaseLargeKernelMemory(): void {
  if ((currentHeap()?.buffer.byteLength ?? 0) > LARGE_BYTES) releaseKernelMemory();
}

/** Twice what eight channels at 48 kHz take (`npm run bench`). */
const LARGE_BYTES = 200e6;

/** Sees to it that so much fits, before anything is made that a larger memory would leave behind. */
export function reserveKernelMemory(byteCount: number): void {
  const heap = currentHeap();
  if (heap !== null && heap.buffer.byteLength < byteCount) releaseKernelMemory(byteCount);
}

/** @param release lets go of arrays that are held; called for as long as the program runs */
export function whenReleased(release: () => void): void {
  releases.push(release);
}

let noting: ArrayBufferView[] | null = null;

function noted<A extends ArrayBufferView>(array: A): A {
  noting?.push(array);
  return array;
}

function withArraysNoted<V>(make: () => V): { value: V; arrays: ArrayBufferView[] } {
  const before = noting;
  const arrays: ArrayBufferView[] = [];
  noting = arrays;
  try {
    return { value: make(), arrays };
  } finally {
    noting = before;
  }
}
