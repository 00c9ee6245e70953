import { join, resolve } from 'node:path';
import { startTests, type Task, type Test, type VitestRunner } from '@vitest/runner';
import { createServer, createServerModuleRunner } from 'vite';
import type { EvaluatedModuleNode } from 'vite/module-runner';

// Runs test files in one process that stays up, on the parts that vitest is made of: modules that do not import the changed file
// are not evaluated again, and what has been compiled stays compiled. A vitest started for each fault took a hundred times as long.
// A process of its own, because an endless loop can only be ended from outside.

/** Asks `test` (a path from the root) while `file` reads `text`; null: as it stands on the disk. */
export interface Question {
  readonly file: string;
  readonly text: string | null;
  readonly test: string;
}

/** The first test that failed, as `file > name`; null where all passed. */
export interface Answer {
  readonly failed: string | null;
  /** Of the processor, so that it says the same on a busy machine. */
  readonly milliseconds: number;
}

const root = resolve(import.meta.dirname, '../..');
let changed: { readonly path: string; readonly text: string } | null = null;

// What vitest's own worker would tell its `expect` and `vi`.
Object.assign(globalThis, {
  __vitest_worker__: {
    config: {},
    environment: { name: 'node' },
    ctx: { pool: 'forks' },
    onCleanup: () => {},
  },
});
const { expect } = await import('vitest');

const server = await createServer({
  root,
  configFile: false,
  logLevel: 'error',
  server: { middlewareMode: true, watch: null, ws: false, hmr: false },
  plugins: [{ name: 'fault', enforce: 'pre', load: (id) => (id === changed?.path ? changed.text : null) }],
});
const modules = createServerModuleRunner(server.environments.ssr, { hmr: false });

process.on('message', async (asked: Question) => {
  process.send?.(await answered(asked));
});
process.send?.('ready');

async function answered({ file, text, test }: Question): Promise<Answer> {
  const path = join(root, file);
  // What was changed for the question before is read from the disk again.
  for (const known of [changed?.path, path]) if (known !== undefined) forget(known);
  changed = text === null ? null : { path, text };
  const name = join(root, test);
  forget(name);
  const before = process.cpuUsage();
  const [ran] = await startTests([{ filepath: name }], runner());
  const { user, system } = process.cpuUsage(before);
  const failed = firstFailed(ran);
  return { failed: failed === null ? null : `${test} > ${failed}`, milliseconds: (user + system) / 1000 };
}

/** The file and all that import it are evaluated anew. */
function forget(path: string): void {
  for (const module of server.environments.ssr.moduleGraph.getModulesByFile(path) ?? [])
    server.environments.ssr.moduleGraph.invalidateModule(module);
  const seen = new Set<EvaluatedModuleNode>();
  const waiting = [...(modules.evaluatedModules.getModulesByFile(path) ?? [])];
  for (let node = waiting.pop(); node !== undefined; node = waiting.pop()) {
    if (seen.has(node)) continue;
    seen.add(node);
    for (const importer of node.importers) {
      const known = modules.evaluatedModules.getModuleById(importer);
      if (known !== undefined) waiting.push(known);
    }
  }
  for (const node of seen) modules.evaluatedModules.invalidateModule(node);
}

function firstFailed(task: Task): string | null {
  for (const inner of 'tasks' in task ? task.tasks : []) {
    const failed = firstFailed(inner);
    if (failed !== null) return failed;
  }
  return task.result?.state === 'fail' ? task.name : null;
}

/** What vitest's own runner does for this house's tests: stop at the first failure, and refuse tests that assert nothing. */
function runner(): VitestRunner {
  let stopped = false;
  return {
    config: {
      root,
      setupFiles: [],
      name: undefined,
      passWithNoTests: false,
      testNamePattern: undefined,
      allowOnly: true,
      sequence: { seed: 1, hooks: 'stack', setupFiles: 'list' },
      chaiConfig: undefined,
      maxConcurrency: 1,
      testTimeout: 120_000,
      hookTimeout: 120_000,
      retry: 0,
      includeTaskLocation: false,
      tags: [],
      tagsFilter: undefined,
      strictTags: false,
    },
    importFile: (path) => modules.import(path),
    onBeforeRunTask: (test) => {
      if (stopped) test.mode = 'skip';
    },
    onBeforeTryTask: () => {
      expect.setState({ assertionCalls: 0, isExpectingAssertions: false, expectedAssertionsNumber: null });
    },
    onAfterTryTask: () => {
      const { assertionCalls, expectedAssertionsNumber } = expect.getState();
      if (assertionCalls === 0) throw new Error('asserts nothing');
      if (typeof expectedAssertionsNumber === 'number' && expectedAssertionsNumber !== assertionCalls)
        throw new Error('asserts less or more than it says');
    },
    onAfterRunTask: (test: Test) => {
      stopped ||= test.result?.state === 'fail';
    },
  };
}
