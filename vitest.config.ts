import { availableParallelism } from 'node:os';
import { configDefaults, defineConfig } from 'vitest/config';

/** Measures how quick pages are, so that it has the machine to itself. */
const MEASURED = 'tests/browser/lighthouse.test.ts';

export default defineConfig({
  test: {
    testTimeout: 120_000,
    hookTimeout: 300_000,
    maxWorkers: availableParallelism(),
    projects: [
      {
        extends: true,
        test: {
          name: 'all',
          include: ['tests/**/*.test.ts'],
          exclude: [...configDefaults.exclude, MEASURED],
          sequence: { groupOrder: 0 },
        },
      },
      { extends: true, test: { name: 'measured', include: [MEASURED], sequence: { groupOrder: 1 } } },
    ],
  },
});
