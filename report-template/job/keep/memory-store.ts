import type { JobStore } from './job-store.ts';

/** Where the browser keeps nothing, as in some private windows: a job that lasts as long as its page. */
export function memoryStore(): JobStore {
  return {
    load: async () => ({ files: new Map(), notes: new Map() }),
    async keepFiles() {},
    async dropFiles() {},
    async note() {},
    async clear() {},
  };
}
