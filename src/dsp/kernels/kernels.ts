import { currentHeap } from './heap.ts';
import { plainKernels } from './plain/plain-kernels.ts';

/**
 * The operations that see every sample or every bin, one function each: compiled from `source/*.c` for two numbers at a time
 * (WebAssembly SIMD) where all arrays of a call lie in the kernels' memory (`kernel-arrays.ts`); plain loops, which the
 * compiled ones are held to within 1e-12, everywhere else. `plain/plain-kernels.ts` is the list of them.
 */
export type Kernels = typeof plainKernels;

export const kernels = Object.fromEntries(
  (Object.keys(plainKernels) as (keyof Kernels)[]).map((name) => [name, kernelOf(name)]),
) as unknown as Kernels;

type Argument = number | ArrayBufferView;

function kernelOf(name: keyof Kernels): (...args: Argument[]) => number {
  const plain = (args: Argument[]) => (plainKernels[name] as (...args: Argument[]) => number)(...args);
  return (...args) => {
    const heap = currentHeap();
    if (heap === null) return plain(args);
    const numbers: number[] = [];
    for (const argument of args) {
      if (typeof argument === 'number') numbers.push(argument);
      else if (argument.buffer === heap.buffer) numbers.push(argument.byteOffset);
      else return plain(args);
    }
    return heap.functions[name](...numbers);
  };
}
