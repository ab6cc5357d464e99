import { spawnSync } from 'node:child_process'
import { randomBytes } from 'node:crypto'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { Client } from 'pg'
import type { TestProject } from 'vitest/node'
import { z } from 'zod'
import { buildScreens, generateClient, NEXT } from '@/lib/entry/build'
import { ChildProcesses } from '@/lib/entry/child-processes'
import { appUrlFor } from '@/lib/entry/database'
import { findChromium } from '@/lib/entry/find-chromium'
import { freePort } from '@/lib/platform/config/free-port'
import { makeTemplate, startTestServer } from '../setup/test-server'
import { TEST_APP_PASSWORD, TEST_APP_ROLE, urlOfDatabase } from '../setup/test-server-urls'

declare module 'vitest' {
  interface ProvidedContext {
    /** The running Tankround with the demo business: its address, its database, and the browser to look at it with. */
    site: z.output<typeof siteSchema>
  }
}

const siteSchema = z.object({ address: z.url(), appUrl: z.string(), ownerUrl: z.string(), chromium: z.string() })

/** Once per run: a built Tankround with its own seeded database, web server and job worker on a free loopback port. */
export default async function setUp(project: TestProject): Promise<() => Promise<void>> {
  const running = process.env.TANKROUND_TEST_SITE
  if (running) {
    // A site that `keep-site.ts` keeps up while tests are written; it remembers what earlier runs did to it.
    project.provide('site', siteSchema.parse(JSON.parse(readFileSync(running, 'utf8'))))
    return async () => undefined
  }
  const chromium = findChromium()
  if (!chromium)
    throw new Error('The browser tests need a Chromium: install one or set CHROME_PATH; `npm test` does it by itself.')
  const data = mkdtempSync(path.join(tmpdir(), 'tankround-site-'))
  process.env.TANKROUND_DATA = data
  const children = new ChildProcesses()
  const server = await startTestServer()
  const name = `test_${Math.floor(Date.now() / 1000)}_site_${randomBytes(4).toString('hex')}`
  const tearDown = async () => {
    await children.stop()
    await ask(server.ownerUrl, `drop database if exists ${name} with (force)`)
    await server.stop()
    rmSync(data, { recursive: true, force: true })
  }
  try {
    await generateClient()
    await buildScreens(children, (line) => process.stderr.write(`${line}\n`))
    await ask(server.ownerUrl, `create database ${name} template ${await makeTemplate(server.ownerUrl)}`)
    const ownerUrl = urlOfDatabase(server.ownerUrl, name)
    const appUrl = appUrlFor(ownerUrl, TEST_APP_ROLE, TEST_APP_PASSWORD)
    loadDemo({ DATABASE_URL: ownerUrl, APP_DATABASE_URL: appUrl })
    const port = await freePort()
    const address = `http://localhost:${port}`
    const env = {
      DATABASE_URL: undefined,
      APP_DATABASE_URL: appUrl,
      NODE_ENV: 'production',
      NODE_OPTIONS: undefined,
      VITEST: undefined,
      NEXT_TELEMETRY_DISABLED: '1',
      NEXTAUTH_URL: address,
      NEXTAUTH_SECRET: randomBytes(32).toString('hex'),
      TANKROUND_DATA: data,
    }
    const web = children.start('web', [NEXT, 'start', '-H', '127.0.0.1', '-p', String(port)], env)
    children.start('worker', ['--conditions=react-server', '--import', 'tsx', 'lib/entry/worker.ts'], env)
    for (let tries = 0; !(await fetch(`${address}/`, { redirect: 'manual' }).catch(() => null)); tries++) {
      if (!web.isRunning() || tries > 300) throw new Error(`The web server does not answer:\n${web.lastLines(20)}`)
      await new Promise((resolve) => setTimeout(resolve, 100))
    }
    project.provide('site', { address, appUrl, ownerUrl, chromium })
  } catch (error) {
    await tearDown()
    throw error
  }
  return tearDown
}

function loadDemo(env: Record<string, string>): void {
  const args = ['--conditions=react-server', '--import', 'tsx', 'lib/entry/load-demo.ts']
  const { status, stderr } = spawnSync(process.execPath, args, {
    env: { ...process.env, NODE_OPTIONS: '', ...env },
    encoding: 'utf8',
  })
  if (status !== 0) throw new Error(`The demo business could not be loaded:\n${stderr}`)
}

async function ask(url: string, sql: string): Promise<void> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    await client.query(sql)
  } finally {
    await client.end()
  }
}
