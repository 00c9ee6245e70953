import { defineConfig } from 'vitest/config';
import { LongestFirst } from './tests/longest-first.ts';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 120_000,
    hookTimeout: 120_000,
    pool: 'forks',
    // One more than the cores of the machines that it runs on: a worker that waits for a browser leaves its core to another.
    maxWorkers: 3,
    sequence: { sequencer: LongestFirst },
    // Results and responses die young: room for more of them, and 5 to 10 % of the time is not spent on collecting them.
    execArgv: ['--max-semi-space-size=64'],
    // The code under test keeps nothing but tables between calls: files may share it, and import it once.
    isolate: false,
    // A test that asserts nothing would pass whatever the code does.
    expect: { requireAssertions: true },
  },
});
