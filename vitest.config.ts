import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 120_000,
    hookTimeout: 120_000,
    pool: 'forks',
    maxWorkers: 2,
    // The code under test keeps nothing but tables between calls: files may share it, and import it once.
    isolate: false,
    // A test that asserts nothing would pass whatever the code does.
    expect: { requireAssertions: true },
  },
});
