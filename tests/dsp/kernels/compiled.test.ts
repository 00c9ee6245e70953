import { describe, expect, it } from 'vitest';
import { bytesBase64, compiler } from '../../../src/dsp/kernels/compiled.ts';
import { describeWith } from '../../outside-programs.ts';
import { compileKernels, compilerVersion } from './build-kernels.ts';

describeWith(['clang'], 'the kernels in the repository', () => {
  it('are what clang and lld make of the source.', ({ skip }) => {
    const here = compilerVersion();
    const alike = compileKernels().toString('base64') === bytesBase64;
    // Another version may order instructions otherwise: other bytes then prove nothing, and are no fault.
    if (!alike && here !== compiler) skip(`made by ${compiler}; here is ${here}`);
    expect(alike).toBe(true);
  });

  it('come out alike twice.', () => {
    expect(compileKernels().equals(compileKernels())).toBe(true);
  });
});

describe('the embedded bytes', () => {
  it('ask for memory, and for nothing else.', () => {
    const module = new WebAssembly.Module(Buffer.from(bytesBase64, 'base64'));
    const { imports } = WebAssembly.Module as unknown as { imports(of: WebAssembly.Module): unknown };
    expect(imports(module)).toEqual([{ module: 'env', name: 'memory', kind: 'memory' }]);
  });
});
