import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    // Two cores are the size this suite is written for; workers start real threads of their own.
    maxWorkers: 2,
    projects: [
      {
        test: {
          name: 'unit',
          include: ['tests/{core,main,renderer,sample,reference}/**/*.test.ts'],
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
      {
        test: {
          // Needs a built application and a browser: run by tests/run/all.ts, or `npm run test:e2e`.
          name: 'e2e',
          include: ['tests/e2e/**/*.test.ts'],
          testTimeout: 120_000,
          hookTimeout: 120_000,
          fileParallelism: false,
          // What is waited for comes soon, but not within vitest's one second on a machine that does other things too.
          expect: { poll: { timeout: 15_000 } },
        },
      },
    ],
  },
});
