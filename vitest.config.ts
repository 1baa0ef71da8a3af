import { defineConfig } from 'vitest/config';

// Files that need no database run without one: a run of them alone starts no PostgreSQL.
const PLAIN = [
  'tests/domain/**/*.test.ts',
  'tests/published/**/*.test.ts',
  'tests/files/**/*.test.ts',
  'tests/auth/**/*.test.ts',
  'tests/web/plain/**/*.test.ts',
];

export default defineConfig({
  test: {
    testTimeout: 120_000,
    hookTimeout: 120_000,
    pool: 'forks',
    maxWorkers: 2,
    projects: [
      { extends: true, test: { name: 'plain', include: PLAIN, isolate: false } },
      {
        extends: true,
        test: { name: 'database', include: ['tests/**/*.test.ts'], exclude: PLAIN, isolate: false, globalSetup: 'tests/global-setup.ts' },
      },
    ],
  },
});
