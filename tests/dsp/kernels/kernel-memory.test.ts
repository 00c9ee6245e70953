import { afterEach, describe, expect, test, vi } from 'vitest';
import { seededRandom } from '../../../src/dsp/random.ts';

/** Fresh modules, so that what other tests asked for plays no part. */
async function freshly(): Promise<{
  arrays: typeof import('../../../src/dsp/kernels/kernel-arrays.ts');
  heap: typeof import('../../../src/dsp/kernels/heap.ts');
  plain: typeof import('../../../src/dsp/kernels/plain/plain-kernels.ts');
  fft: typeof import('../../../src/dsp/fft.ts');
  sweep: typeof import('../../../src/dsp/sweep-response.ts');
}> {
  vi.resetModules();
  return {
    arrays: await import('../../../src/dsp/kernels/kernel-arrays.ts'),
    heap: await import('../../../src/dsp/kernels/heap.ts'),
    plain: await import('../../../src/dsp/kernels/plain/plain-kernels.ts'),
    fft: await import('../../../src/dsp/fft.ts'),
    sweep: await import('../../../src/dsp/sweep-response.ts'),
  };
}

afterEach(() => {
  vi.unstubAllGlobals();
  vi.resetModules();
});

const SWEEP = { startHz: 10, endHz: 20_000, durationSeconds: 1.5, fadeInSeconds: 0.05, fadeOutSeconds: 0.01 };

async function responseAt(
  sampleRateHz: number,
  { planSweep, sweepResponse }: Awaited<ReturnType<typeof freshly>>['sweep'],
) {
  const plan = planSweep({
    sweep: SWEEP,
    driveAmplitude: 0.1,
    sampleRateHz,
    frequencyHz: Float64Array.of(50, 100, 1000, 10_000),
  });
  const random = seededRandom(3);
  const section = Float32Array.from({ length: plan.sectionLength }, () => 0.1 * random.gaussian());
  return sweepResponse(plan, section);
}

describe('memory of the kernels', () => {
  test('that gets too small leaves every array in it as it was, and later work is right', async () => {
    const { arrays, heap, fft } = await freshly();
    const before = arrays.doubles(1000).fill(7);
    const first = heap.currentHeap()!.buffer;
    const spectrum = Array.from(fft.realSpectrum(Float32Array.of(1, 2, 3, 4), 16));
    const large = arrays.doubles(first.byteLength / 8);
    expect(heap.currentHeap()!.buffer).not.toBe(first);
    expect(large.length).toBe(first.byteLength / 8);
    expect(before.length).toBe(1000);
    expect(before.every((value) => value === 7)).toBe(true);
    expect(Array.from(fft.realSpectrum(Float32Array.of(1, 2, 3, 4), 16))).toEqual(spectrum);
    // Tables were made anew where kernels reach them.
    expect(arrays.doubles(1).buffer).toBe(heap.currentHeap()!.buffer);
  });

  test('serves long sections at 192 kHz after short ones, with the same numbers as alone', async () => {
    const alone = await responseAt(192_000, (await freshly()).sweep);
    const modules = await freshly();
    await responseAt(44_100, modules.sweep);
    modules.arrays.doubles(8e6); // so that the next plan does not fit
    const plain = vi.spyOn(modules.plain.plainKernels, 'transform');
    const after = await responseAt(192_000, modules.sweep);
    expect(after).toEqual(alone);
    const again = await responseAt(44_100, modules.sweep);
    expect(plain).not.toHaveBeenCalled();
    expect(again).toEqual(await responseAt(44_100, (await freshly()).sweep));
  });

  test('is given out anew, and zero, once it was given back', async () => {
    const { arrays } = await freshly();
    const keep = arrays.kept<Float64Array>(1);
    const first = keep('one', () => arrays.doubles(100).fill(5));
    const at = first.byteOffset;
    const second = keep('two', () => arrays.doubles(100));
    expect(second.byteOffset).toBe(at);
    expect(second.every((value) => value === 0)).toBe(true);
  });

  test('can be given back as a whole: later work is right, and nothing holds on to it', async () => {
    const { arrays, heap, fft } = await freshly();
    const before = fft.realSpectrum(Float32Array.of(3, 1, 4, 1, 5), 16);
    const released = heap.currentHeap()!.buffer;
    const work = arrays.reused(arrays.doubles);
    expect(work(5).buffer).toBe(released);
    arrays.releaseKernelMemory();
    expect(heap.currentHeap()!.buffer).not.toBe(released);
    expect(work(5).buffer).toBe(heap.currentHeap()!.buffer);
    expect(fft.spectrumInput(16).buffer).toBe(heap.currentHeap()!.buffer);
    expect(fft.realSpectrum(Float32Array.of(3, 1, 4, 1, 5), 16)).toEqual(before);
  });

  test('does not give back, with a table, what was enlarged while the table was made', async () => {
    const { arrays } = await freshly();
    const work = arrays.reused(arrays.doubles);
    const keep = arrays.kept<number>(1);
    keep('one', () => work(100).length);
    keep('two', () => 0);
    expect(arrays.doubles(100).byteOffset).not.toBe(work(100).byteOffset);
  });
});

describe('without WebAssembly', () => {
  test('the plain loops give the same response within 1e-12', async () => {
    const compiled = await responseAt(48_000, (await freshly()).sweep);
    vi.stubGlobal('WebAssembly', undefined);
    const modules = await freshly();
    expect(modules.heap.currentHeap()).toBeNull();
    const plain = await responseAt(48_000, modules.sweep);
    for (const part of ['real', 'imag', 'sigma'] as const)
      plain[part].forEach((value, i) => {
        const size = Math.hypot(plain.real[i], plain.imag[i]);
        expect(Math.abs(compiled[part][i] - value)).toBeLessThan(1e-12 * size);
      });
  });

  test.each([8, 12, 20, 96, 160, 4096])(
    'a real spectrum of %i samples is that of the compiled kernels',
    async (size) => {
      const random = seededRandom(size);
      const samples = Float64Array.from({ length: size }, () => random.gaussian());
      const compiled = (await freshly()).fft.realSpectrum(samples, size);
      vi.stubGlobal('WebAssembly', undefined);
      const { fft } = await freshly();
      const plain = fft.realSpectrum(samples, size);
      plain.forEach((value, i) => {
        expect(Math.abs(compiled[i] - value)).toBeLessThan(1e-12 * Math.sqrt(size));
      });
      fft.inverseReal(plain).forEach((value, n) => {
        expect(Math.abs(value - samples[n])).toBeLessThan(1e-13 * size);
      });
    },
  );
});
