import { spawnSync } from 'node:child_process'
import { randomBytes } from 'node:crypto'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { Client } from 'pg'
import type { TestProject } from 'vitest/node'
import { z } from 'zod'
import { buildScreens } from '@/lib/entry/build'
import { ChildProcesses } from '@/lib/entry/child-processes'
import { appUrlFor, identityUrlFor } from '@/lib/entry/database'
import { findChromium } from '@/lib/entry/find-chromium'
import { freePort } from '@/lib/platform/config/free-port'
import { programFile } from '@/lib/platform/config/program-file'
import { makeTemplate, startTestServer } from '../setup/test-server'
import {
  TEST_APP_PASSWORD,
  TEST_APP_ROLE,
  TEST_IDENTITY_ROLE,
  throwAwayName,
  urlOfDatabase,
} from '../setup/test-server-urls'

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
  const name = await ask(server.ownerUrl, (client) => throwAwayName(client, `site_${randomBytes(4).toString('hex')}`))
  const tearDown = async () => {
    await children.stop()
    await ask(server.ownerUrl, (client) => client.query(`drop database if exists ${name} with (force)`))
    await server.stop()
    rmSync(data, { recursive: true, force: true })
  }
  try {
    await buildScreens(children, (line) => process.stderr.write(`${line}\n`))
    const template = await makeTemplate(server.ownerUrl)
    await ask(server.ownerUrl, (client) => client.query(`create database ${name} template ${template}`))
    const ownerUrl = urlOfDatabase(server.ownerUrl, name)
    const appUrl = appUrlFor(ownerUrl, TEST_APP_ROLE, TEST_APP_PASSWORD)
    const identityUrl = identityUrlFor(ownerUrl, TEST_IDENTITY_ROLE, TEST_APP_PASSWORD)
    loadDemo({ DATABASE_URL: ownerUrl, APP_DATABASE_URL: appUrl, IDENTITY_DATABASE_URL: identityUrl })
    const port = await freePort()
    const address = `http://localhost:${port}`
    const env = {
      DATABASE_URL: undefined,
      APP_DATABASE_URL: appUrl,
      IDENTITY_DATABASE_URL: identityUrl,
      NODE_ENV: 'production',
      NODE_OPTIONS: undefined,
      VITEST: undefined,
      NEXT_TELEMETRY_DISABLED: '1',
      NEXTAUTH_URL: address,
      NEXTAUTH_SECRET: randomBytes(32).toString('hex'),
      TANKROUND_DATA: data,
    }
    const web = children.start('web', [programFile('web')], { ...env, HOST: '127.0.0.1', PORT: String(port) })
    children.start('worker', [programFile('worker')], env)
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
  const { status, stderr } = spawnSync(process.execPath, [programFile('load-demo')], {
    env: { ...process.env, NODE_OPTIONS: '', ...env },
    encoding: 'utf8',
  })
  if (status !== 0) throw new Error(`The demo business could not be loaded:\n${stderr}`)
}

async function ask<T>(url: string, work: (client: Client) => Promise<T>): Promise<T> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    return await work(client)
  } finally {
    await client.end()
  }
}
