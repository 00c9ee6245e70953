import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 120_000,
    hookTimeout: 120_000,
    pool: 'forks',
    // No more than cores: the browser loses blocks of sound on a machine that has more to do.
    maxWorkers: 2,
    // Results and responses die young: room for more of them, and 5 to 10 % of the time is not spent on collecting them.
    execArgv: ['--max-semi-space-size=64'],
    // The code under test keeps nothing but tables between calls: files may share it, and import it once.
    isolate: false,
    // A test that asserts nothing would pass whatever the code does.
    expect: { requireAssertions: true },
  },
});
