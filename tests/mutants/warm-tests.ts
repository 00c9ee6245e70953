import { join, resolve } from 'node:path';
import { startTests, type Task, type Test, type VitestRunner } from '@vitest/runner';
import { createServer, createServerModuleRunner } from 'vite';
import type { EvaluatedModuleNode } from 'vite/module-runner';

// Runs test files in one process that stays up, on the parts that vitest is made of: modules that do not import the changed file
// are not evaluated again, and what has been compiled stays compiled. A vitest started for each fault took a hundred times as long.
// A process of its own, because an endless loop can only be ended from outside.

/** Asks `test` (a path from the root) while the files read what stands here in place of what is on the disk. */
export interface Question {
  readonly texts: Readonly<Record<string, string>>;
  readonly test: string;
  /** How many places note that they were reached (`noting`). */
  readonly places: number;
}

/** The first test that failed, as `file > name`; null where all passed. */
export interface Answer {
  readonly failed: string | null;
  /** Of the processor, so that it says the same on a busy machine. */
  readonly milliseconds: number;
  /** The places that were reached. */
  readonly reached: readonly number[];
}

const root = resolve(import.meta.dirname, '../..');
let changed: ReadonlyMap<string, string> = new Map();

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
  plugins: [{ name: 'fault', enforce: 'pre', load: (id) => changed.get(id) ?? null }],
});
const modules = createServerModuleRunner(server.environments.ssr, { hmr: false });

process.on('message', async (asked: Question) => {
  process.send?.(await answered(asked));
});
process.send?.('ready');

async function answered({ texts, test, places }: Question): Promise<Answer> {
  const before = changed;
  changed = new Map(Object.entries(texts).map(([file, text]) => [join(root, file), text]));
  const name = join(root, test);
  const paths = [...new Set([...before.keys(), ...changed.keys()])];
  compileAnew(paths.filter((path) => before.get(path) !== changed.get(path)));
  evaluateAnew([...paths, name]);
  const reached = new Uint8Array(places);
  Object.assign(globalThis, { reached });
  const from = process.cpuUsage();
  const [ran] = await startTests([{ filepath: name }], runner());
  const { user, system } = process.cpuUsage(from);
  const failed = firstFailed(ran);
  return {
    failed: failed === null ? null : `${test} > ${failed}`,
    milliseconds: (user + system) / 1000,
    reached: [...reached.keys()].filter((place) => reached[place] === 1),
  };
}

/** From what stands in place of the files now, or from the disk again. */
function compileAnew(paths: readonly string[]): void {
  const { moduleGraph } = server.environments.ssr;
  for (const path of paths)
    for (const module of moduleGraph.getModulesByFile(path) ?? []) moduleGraph.invalidateModule(module);
}

/** The files and all that import them. */
function evaluateAnew(paths: readonly string[]): void {
  const waiting = paths.flatMap((path): EvaluatedModuleNode[] => [
    ...(modules.evaluatedModules.getModulesByFile(path) ?? []),
  ]);
  const seen = new Set<EvaluatedModuleNode>();
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
