import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: [
      'tests/core/**/*.test.ts',
      'tests/main/**/*.test.ts',
      'tests/renderer/**/*.test.ts',
      'tests/sample/**/*.test.ts',
    ],
    // Two cores are the size this suite is written for; workers start real threads of their own.
    maxWorkers: 2,
    testTimeout: 30_000,
    hookTimeout: 60_000,
  },
});
