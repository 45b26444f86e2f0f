import react from '@vitejs/plugin-react';
import { defineConfig } from 'vitest/config';

/**
 * One vitest project a folder, so that `npx vitest run --project main` runs that folder alone.
 * Speed is measured by `npm run bench`, never here; the timeouts only end a test that hangs.
 */
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'shared-core',
          include: ['shared-core/**/*.test.ts'],
          // The engine holds no state, so its test files may share one worker.
          pool: 'threads',
          isolate: false,
        },
      },
      { test: { name: 'main', include: ['main/**/*.test.ts'], testTimeout: 30_000 } },
      {
        plugins: [react()],
        test: { name: 'renderer', include: ['renderer/**/*.test.{ts,tsx}'] },
      },
      {
        test: {
          name: 'tests',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/browser/**', 'tests/electron/**'],
          testTimeout: 60_000,
        },
      },
      {
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          testTimeout: 60_000,
          hookTimeout: 60_000,
          fileParallelism: false,
        },
      },
      {
        test: {
          name: 'electron',
          include: ['tests/electron/**/*.test.ts'],
          testTimeout: 120_000,
          hookTimeout: 120_000,
          fileParallelism: false,
        },
      },
    ],
  },
});
