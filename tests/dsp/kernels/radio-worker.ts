import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileSource } from '../../../cli/files.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';

/** A process of `on-radios.ts`: with 'plain' as its argument it has no WebAssembly, and the plain loops do all the work. */
if (process.argv[2] === 'plain') Object.assign(globalThis, { WebAssembly: undefined });
// Kernels are compiled when they are first imported.
const { analyse } = await import('../../../src/analyse.ts');
const { openWav } = await import('../../../src/audio/read-wav.ts');
const { resolveSession } = await import('../../../src/model/resolve-session.ts');
const { currentHeap } = await import('../../../src/dsp/kernels/heap.ts');

export interface Asked {
  readonly folder: string;
  readonly session: SessionInput;
}

export interface Answered {
  readonly compiled: boolean;
  readonly seconds: number;
  /** As results.json has it. */
  readonly results: unknown;
}

process.on('message', ({ folder, session }: Asked) => {
  const sources = new Map<string, ReturnType<typeof fileSource>>();
  const open = (file: string) => {
    const source = sources.get(file) ?? fileSource(join(folder, file));
    sources.set(file, source);
    return openWav({ ...source, name: file });
  };
  const began = performance.now();
  const results = analyse({
    session: resolveSession(session, { folderFiles: readdirSync(folder) }),
    open,
    toolVersion: 'kernels',
    inputs: [],
  });
  const seconds = (performance.now() - began) / 1000;
  for (const source of sources.values()) source.close();
  process.send?.({ compiled: currentHeap() !== null, seconds, results });
});
process.on('disconnect', () => process.exit());
