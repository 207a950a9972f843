import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    testTimeout: 20_000,
    hookTimeout: 60_000,
    pool: 'forks',
    // Much of the time is waiting: for programs that start, browsers, retries. Two at a time also on two cores.
    maxWorkers: 2,
  },
});
