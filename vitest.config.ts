import path from 'node:path'
import { defineConfig } from 'vitest/config'

const root = import.meta.dirname

export default defineConfig({
  resolve: {
    alias: [
      // `server-only` throws outside Next; the tests run the same server code in plain Node.
      { find: 'server-only', replacement: path.join(root, 'node_modules/server-only/empty.js') },
      { find: /^@\//, replacement: `${root}/` },
    ],
  },
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    testTimeout: 30_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
  },
})
