import path from 'node:path'
import { defineConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification } from 'vitest/node'
// Threads and the programs that browser tests start run as they do for everybody: compiled.
import './lib/entry/set-programs.mjs'

const root = import.meta.dirname

const REFERENCE = ['tests/reference/**/*.test.ts']
const BROWSER = ['tests/browser/**/*.test.ts']
/** Long proofs: `npm run prove`. On a real Postgres, as the database tests are. */
const PROVE = ['tests/prove/**/*.test.ts']
/** Long proofs in a browser. */
const PROVE_SCREENS = ['tests/browser/**/*.prove.ts']
/** The office and the platform are tested on a real Postgres; so is any file that says so in its name. */
const DATABASE = ['tests/{office,platform,seed}/**/*.test.{ts,tsx}', 'tests/**/*.database.test.ts']

/** Files that take minutes, whatever their size: one that begins last keeps all others waiting. */
const LONG = ['tests/seed/demo-', 'tests/prove/']

/** Begins the long files first; the rest in vitest's own order (the largest first, where no run has timed them yet). */
class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files)
    const isLong = ({ moduleId }: TestSpecification) => LONG.some((part) => moduleId.includes(part))
    return [...sorted.filter(isLong), ...sorted.filter((file) => !isLong(file))]
  }
}

export default defineConfig({
  resolve: {
    alias: [
      // `server-only` throws outside Next; the tests run the same server code in plain Node.
      { find: 'server-only', replacement: path.join(root, 'node_modules/server-only/empty.js') },
      { find: /^@\//, replacement: `${root}/` },
    ],
  },
  test: {
    testTimeout: 60_000, // a shared machine may be slow
    // A secret of their own, and no log between the results; LOG_LEVEL=info shows it.
    env: { NEXTAUTH_SECRET: 'only-for-tests', LOG_LEVEL: process.env.LOG_LEVEL ?? 'silent' },
    hookTimeout: 120_000,
    maxWorkers: 2,
    sequence: { sequencer: LongestFirst },
    projects: [
      // Whatever no other project claims runs here, so no test file is ever left out.
      {
        extends: true,
        test: {
          name: 'unit',
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: [...REFERENCE, ...BROWSER, ...DATABASE, ...PROVE],
        },
      },
      { extends: true, test: { name: 'reference', include: REFERENCE, testTimeout: 120_000 } },
      {
        extends: true,
        test: {
          name: 'database',
          include: DATABASE,
          exclude: [...BROWSER, ...PROVE],
          globalSetup: 'tests/setup/test-server.ts',
        },
      },
      {
        extends: true,
        test: {
          name: 'prove-screens',
          include: PROVE_SCREENS,
          globalSetup: 'tests/browser/setup.ts',
          fileParallelism: false,
          maxConcurrency: 3, // pages open at once: with more of them two cores keep nobody's promises
          testTimeout: 60_000,
        },
      },
      {
        extends: true,
        test: { name: 'prove', include: PROVE, globalSetup: 'tests/setup/test-server.ts', testTimeout: 5_400_000 },
      },
      {
        extends: true,
        test: {
          name: 'browser',
          include: BROWSER,
          globalSetup: 'tests/browser/setup.ts',
          fileParallelism: false, // one seeded business, changed by each file in turn
          testTimeout: 60_000,
        },
      },
    ],
  },
})
