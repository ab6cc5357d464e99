import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync, mkdtempSync, openSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { pathToFileURL } from 'node:url'
import { chromium } from 'playwright-core'
import type { DatabaseUrls } from '@/lib/entry/database'
import { findChromium } from '@/lib/entry/find-chromium'
import { freePort } from '@/lib/platform/config/free-port'
import { BENCH_PASSWORD } from '../business-at-work'

export type Statement = { connection: number; user: string; text: string; values: unknown[] }
export type Watched = {
  statements: Statement[]
  lateP99Ms: number
  lateWorstMs: number
  rssMib: number
  peakMib: number
}
export type Program = {
  address: string
  /** Begins to count anew, or tells what was counted since. */
  watch: (act: 'reset' | 'read' | 'peek') => Promise<Watched>
  stop: () => Promise<void>
}

const WATCHER = path.join(import.meta.dirname, 'watch-process.mjs')
const START_WITHIN_MS = 600_000

/** Builds and starts the program as `npm start` does, on this database, with somebody watching it. Errors: Error with the end of its log. */
export async function startProgram(urls: DatabaseUrls): Promise<Program> {
  const folder = mkdtempSync(path.join(tmpdir(), 'tankround-screens-'))
  const port = await freePort()
  const address = `http://localhost:${port}`
  const log = path.join(folder, 'start.log')
  const child = spawn(process.execPath, ['lib/entry/run.mjs', 'start'], {
    env: {
      ...process.env,
      DATABASE_URL: urls.ownerUrl,
      APP_DATABASE_URL: urls.appUrl,
      IDENTITY_DATABASE_URL: urls.identityUrl,
      PORT: String(port),
      NEXTAUTH_URL: address,
      TANKROUND_DEMO: '0',
      TANKROUND_DATA: path.join(folder, 'data'),
      BENCH_WATCH_FOLDER: folder,
      NODE_OPTIONS: `--import=${pathToFileURL(WATCHER).href}`,
    },
    detached: true, // a group of its own, to be stopped as Ctrl-C stops it
    stdio: ['ignore', openSync(log, 'a'), openSync(log, 'a')],
  })
  await answers(child, address, path.join(folder, 'door'), log)
  return {
    address,
    watch: async (act) => {
      const door = readFileSync(path.join(folder, 'door'), 'utf8')
      return (await fetch(`http://127.0.0.1:${door}/${act}`)).json() as Promise<Watched> // the watcher's own answer
    },
    stop: async () => {
      const ended = new Promise((resolve) => child.once('exit', resolve))
      if (child.pid) process.kill(-child.pid, 'SIGINT')
      await ended
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

async function answers(child: ChildProcess, address: string, door: string, log: string): Promise<void> {
  const startedAt = performance.now()
  for (;;) {
    const answer = await fetch(`${address}/sign-in`).catch(() => null)
    if (answer?.ok && existsSync(door)) return
    if (child.exitCode !== null || performance.now() - startedAt > START_WITHIN_MS)
      throw new Error(`The program does not start:\n${readFileSync(log, 'utf8').slice(-2000)}`)
    await new Promise((resolve) => setTimeout(resolve, 300))
  }
}

/** Signs these people in as they do it, in a browser; their cookies, in the same order. Errors: Error without a Chromium. */
export async function signIn(address: string, emails: readonly string[]): Promise<string[]> {
  const executablePath = findChromium()
  if (!executablePath) throw new Error('Signing in needs a Chromium: install one or set CHROME_PATH.')
  const browser = await chromium.launch({
    executablePath,
    args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking'],
  })
  const signedIn: string[] = []
  try {
    for (const email of emails) {
      const context = await browser.newContext({ baseURL: address })
      const page = await context.newPage()
      await page.goto('/sign-in')
      await page.getByLabel('E-mail address').fill(email)
      await page.getByLabel('Password').fill(BENCH_PASSWORD)
      await page.getByRole('button', { name: 'Sign in' }).click()
      // The session counts, not the first screen, which may take its time.
      const signed = await hasSession(() => context.cookies())
      if (!signed) throw new Error(`${email} cannot sign in`)
      const cookies = await context.cookies()
      signedIn.push(cookies.map(({ name, value }) => `${name}=${value}`).join('; '))
      await context.close()
    }
  } finally {
    await browser.close()
  }
  return signedIn
}

async function hasSession(cookies: () => Promise<{ name: string }[]>): Promise<boolean> {
  for (let tries = 0; tries < 200; tries++) {
    if ((await cookies()).some(({ name }) => name.includes('session'))) return true
    await new Promise((resolve) => setTimeout(resolve, 100))
  }
  return false
}
