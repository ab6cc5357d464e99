import { spawn } from 'node:child_process'
import { chmodSync, existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { z } from 'zod'
import { checkoutFolder } from '@/lib/platform/config/data-folder'
import { startEmbeddedPostgres } from '@/lib/platform/db/embedded-postgres'
import { buildScreens } from './build'
import { ChildProcesses } from './child-processes'
import { readArguments } from './command-line'
import { findOrInstallChromium } from './find-chromium'
import { runCommand, untilInterrupted } from './run-command'

const log = (line: string) => process.stdout.write(`${line}\n`)

type Count = { passed: number; failed: number; skipped: number }

/** Static checks that count as one test each. */
const CHECKS = {
  'format and lint (biome)': ['node_modules/@biomejs/biome/bin/biome', 'check', '.'],
  'types (tsc)': ['node_modules/typescript/bin/tsc', '--noEmit'],
  'rooms (dependency-cruiser)': [
    'node_modules/dependency-cruiser/bin/dependency-cruise.mjs',
    '--config',
    '.dependency-cruiser.cjs',
    ...['app', 'components', 'lib', 'seed'].filter((room) => existsSync(path.join(checkoutFolder(), room))),
  ],
  'nothing unused (knip)': ['node_modules/knip/bin/knip.js', '--no-progress'],
}

/** What we read of vitest's JSON report. */
const report = z.object({
  numPassedTests: z.number(),
  numFailedTests: z.number(),
  numPendingTests: z.number(),
  numTodoTests: z.number(),
  testResults: z.array(z.object({ status: z.string(), assertionResults: z.array(z.object({ status: z.string() })) })),
})

const USAGE = `npm test [-- tests/trade …]
npm run prove [-- --long] [tests/prove/restore …]

Sets everything up, runs the checks and all tests; with names only the tests whose path holds one of them. "npm run prove" runs
the long proofs instead, in the same surroundings; with --long as many as we ever ran (an hour). TEST_DATABASE_URL names a Postgres to use; DATABASE_URL is never touched.`

/** `npm test`, `npm run prove`: see USAGE. */
await runCommand(async () => {
  const { values, positionals: filters } = readArguments({
    usage: USAGE,
    options: { prove: { type: 'boolean' }, long: { type: 'boolean' } },
    words: Number.POSITIVE_INFINITY,
  })
  const { prove: proving = false, long = false } = values
  if (long) process.env.TANKROUND_PROVE = 'long'
  const temporary = mkdtempSync(path.join(tmpdir(), 'tankround-test-'))
  chmodSync(temporary, 0o755) // the user who runs Postgres for root must be able to walk through
  const children = new ChildProcesses()
  const stops: (() => Promise<void>)[] = [() => children.stop()]
  const stopAll = async () => {
    for (const stop of stops.splice(0)) await stop().catch((error) => console.error(error))
    rmSync(temporary, { recursive: true, force: true })
  }
  untilInterrupted().then(async () => {
    await stopAll()
    process.exit(1)
  })
  try {
    process.env.CHROME_PATH = findOrInstallChromium(log)
    // DATABASE_URL may point at real work: no test ever sees it.
    delete process.env.DATABASE_URL
    delete process.env.APP_DATABASE_URL
    delete process.env.IDENTITY_DATABASE_URL
    process.env.TANKROUND_DATA = path.join(temporary, 'data')
    if (!process.env.TEST_DATABASE_URL) {
      const server = await startEmbeddedPostgres(temporary, { throwAway: 'and delete' })
      stops.push(server.stop)
      process.env.TEST_DATABASE_URL = server.ownerUrl
    }
    const total: Count = { passed: 0, failed: 0, skipped: 0 }
    if (filters.length === 0 && !proving) {
      log('Checking and building …')
      const [checks] = await Promise.all([runChecks(), buildScreens(children, log)])
      add(total, checks)
    }
    const project = proving ? '--project=prove*' : '--project=!prove*'
    add(total, await runVitest(path.join(temporary, 'results.json'), [project, ...filters]))
    if (total.skipped > 0) log(`${total.skipped} skipped; the summary above says why`)
    log(`${total.passed} passed, ${total.failed} failed`)
    if (total.failed > 0) process.exitCode = 1
  } finally {
    await stopAll()
  }
})

function add(total: Count, more: Count): void {
  total.passed += more.passed
  total.failed += more.failed
  total.skipped += more.skipped
}

async function runChecks(): Promise<Count> {
  const count: Count = { passed: 0, failed: 0, skipped: 0 }
  for (const [name, args] of Object.entries(CHECKS)) {
    const { code, output } = await run(args, 'keep')
    if (code === 0) count.passed++
    else count.failed++
    log(code === 0 ? `✓ ${name}` : `✗ ${name}\n${output.trim()}`)
  }
  return count
}

async function runVitest(resultFile: string, choice: string[]): Promise<Count> {
  const reporters = ['--reporter=default', '--reporter=json', `--outputFile.json=${resultFile}`]
  const { code } = await run(['node_modules/vitest/vitest.mjs', 'run', ...reporters, ...choice], 'show')
  if (!existsSync(resultFile)) return { passed: 0, failed: 1, skipped: 0 }
  const result = report.parse(JSON.parse(readFileSync(resultFile, 'utf8')))
  // A file that cannot be loaded has no failed test of its own; it counts as one.
  const unloaded = result.testResults.filter(
    (file) => file.status === 'failed' && file.assertionResults.every((test) => test.status !== 'failed'),
  ).length
  const failed = result.numFailedTests + unloaded
  return {
    passed: result.numPassedTests,
    failed: code !== 0 && failed === 0 ? 1 : failed, // e.g. an error outside of any test
    skipped: result.numPendingTests + result.numTodoTests,
  }
}

function run(args: string[], output: 'show' | 'keep'): Promise<{ code: number | null; output: string }> {
  const child = spawn(process.execPath, args, {
    cwd: checkoutFolder(),
    stdio: output === 'show' ? 'inherit' : ['ignore', 'pipe', 'pipe'],
  })
  let kept = ''
  child.stdout?.on('data', (chunk) => (kept += chunk))
  child.stderr?.on('data', (chunk) => (kept += chunk))
  return new Promise((resolve, reject) => {
    child.once('error', reject)
    child.once('close', (code) => resolve({ code, output: kept }))
  })
}
