// Tests run in Node; a test file that needs minutes says so itself. Those in a real browser come last, one file after the other, so that
// nothing else takes the time that they wait for.
import { defineConfig } from 'vitest/config';

const BROWSER = 'tests/browser/**/*.test.ts';

export default defineConfig({
  test: {
    // All cores: nothing else waits for them.
    maxWorkers: '100%',
    projects: [
      {
        test: {
          name: 'node',
          include: ['tests/**/*.test.ts'],
          exclude: [BROWSER],
          environment: 'node',
          // Whole plans take seconds; on a machine that is busy with other things, many.
          testTimeout: 180_000,
          hookTimeout: 180_000,
          sequence: { groupOrder: 0 },
        },
      },
      {
        test: {
          name: 'browser',
          include: [BROWSER],
          environment: 'node',
          globalSetup: 'tests/browser/global-setup.ts',
          testTimeout: 240_000,
          hookTimeout: 60_000,
          fileParallelism: false,
          // A browser on a busy machine misses a moment now and then; what fails three times in a row is broken.
          retry: 2,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
