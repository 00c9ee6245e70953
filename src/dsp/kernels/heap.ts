import { bytesBase64 } from './compiled.ts';

/** Memory in which kernels work, and the kernels of it. */
interface Heap {
  readonly buffer: ArrayBuffer;
  readonly functions: Readonly<Record<string, (...args: number[]) => number>>;
  /** First byte that was never given away. */
  next: number;
  /** Places that were given back, by their size in bytes. */
  readonly free: Map<number, number[]>;
}

/**
 * Holds what eight channels at 48 kHz need, and a search for every sweep of a track in them; what is not touched costs nothing but
 * addresses. One that is outgrown lies beside its successor until somebody clears up.
 */
const FIRST_BYTES = 160 * 2 ** 20;
const PAGE_BYTES = 2 ** 16;
/** WebAssembly addresses 4 GiB at most. */
const MOST_BYTES = 2 ** 32 - PAGE_BYTES;
/** Arrays begin on a line of the processor's cache, and a line apart, so that those of equal size do not crowd one place in it. */
const LINE_BYTES = 64;

const module = compiled();
let heap: Heap | null = module === null ? null : heapOf(module, FIRST_BYTES);
let generation = 0;

/** Null where WebAssembly SIMD is missing, or memory for it. */
export function currentHeap(): Heap | null {
  return heap;
}

/** Counts how often the memory was replaced: what was made before lies in none that kernels reach. */
export function heapGeneration(): number {
  return generation;
}

/**
 * A place for some bytes, all zero. Memory that is too small does not grow, which would empty every array in it: it is replaced by
 * a larger one. Arrays in the old one stay what they are; kernels work on them by their plain loops.
 *
 * @returns null where there are no kernels
 */
export function allocate(byteCount: number): { buffer: ArrayBuffer; at: number } | null {
  if (heap === null) return null;
  const size = placeBytes(byteCount);
  const freed = heap.free.get(size)?.pop();
  if (freed !== undefined) {
    new Uint8Array(heap.buffer, freed, byteCount).fill(0);
    return { buffer: heap.buffer, at: freed };
  }
  if (heap.next + size > heap.buffer.byteLength) {
    replaceHeap(Math.min(MOST_BYTES, 2 * (heap.buffer.byteLength + size)));
    if (heap === null || heap.next + size > heap.buffer.byteLength) return null;
  }
  const at = heap.next;
  heap.next += size;
  return { buffer: heap.buffer, at };
}

/** What was made before lies, from now on, in memory that kernels do not reach; it goes when nobody holds it. */
export function replaceHeap(byteCount = FIRST_BYTES): void {
  generation++;
  heap = module === null ? null : heapOf(module, byteCount);
}

/** Gives a place back. One of a memory that was replaced is forgotten with it. */
export function free({ buffer, byteOffset, byteLength }: ArrayBufferView): void {
  if (heap === null || buffer !== heap.buffer) return;
  const size = placeBytes(byteLength);
  const places = heap.free.get(size);
  if (places === undefined) heap.free.set(size, [byteOffset]);
  else places.push(byteOffset);
}

function placeBytes(byteCount: number): number {
  return LINE_BYTES * (Math.ceil(byteCount / LINE_BYTES) + 1);
}

function heapOf(of: WebAssembly.Module, byteCount: number): Heap | null {
  try {
    const memory = new WebAssembly.Memory({ initial: Math.ceil(byteCount / PAGE_BYTES) });
    const { exports } = new WebAssembly.Instance(of, { env: { memory } });
    const base = (exports.__heap_base as { value: number }).value;
    return {
      buffer: memory.buffer,
      functions: exports as Heap['functions'],
      next: LINE_BYTES * Math.ceil(base / LINE_BYTES),
      free: new Map(),
    };
  } catch {
    return null;
  }
}

function compiled(): WebAssembly.Module | null {
  try {
    return new WebAssembly.Module(Uint8Array.from(atob(bytesBase64), (char) => char.charCodeAt(0)));
  } catch {
    return null;
  }
}
