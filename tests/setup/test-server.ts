import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'
import { Client } from 'pg'
import type { TestProject } from 'vitest/node'
import { appUrlFor, identityUrlFor } from '@/lib/entry/database'
import { prepareDatabase } from '@/lib/entry/prepare-database'
import { startEmbeddedPostgres } from '@/lib/platform/db/embedded-postgres'
import {
  TEST_APP_PASSWORD,
  TEST_APP_ROLE,
  TEST_IDENTITY_ROLE,
  type TestServer,
  throwAwayName,
  urlOfDatabase,
} from './test-server-urls'

declare module 'vitest' {
  interface ProvidedContext {
    testServer: TestServer
  }
}

/** Databases of runs that were cut off are dropped after this time. */
const LEFT_OVER_SECONDS = 3600

/**
 * Once per run: a Postgres for the tests (TEST_DATABASE_URL, else an embedded one of its own; never DATABASE_URL) with
 * a migrated database to copy. `npm test` gives a fresh server; `npx vitest` keeps one in `.cache` and is quicker.
 */
export default async function setUp(project: TestProject): Promise<() => Promise<void>> {
  const { ownerUrl, stop } = await startTestServer()
  project.provide('testServer', { ownerUrl, template: await makeTemplate(ownerUrl) })
  return stop
}

/** The Postgres of the tests, started or joined. */
export async function startTestServer(): Promise<{ ownerUrl: string; stop: () => Promise<void> }> {
  const given = process.env.TEST_DATABASE_URL
  if (given) return { ownerUrl: given, stop: async () => undefined }
  return startEmbeddedPostgres(path.resolve('.cache/test-postgres'), { throwAway: 'yes' })
}

/** The name of the migrated database on that server; made when there is none for the present code. */
export async function makeTemplate(ownerUrl: string): Promise<string> {
  const template = `tankround_template_${hashOfDatabaseCode()}`
  const client = new Client({ connectionString: ownerUrl })
  await client.connect()
  try {
    await client.query('select pg_advisory_lock(72112)') // two runs at once make it once
    await dropLeftOvers(client)
    const found = await client.query('select 1 from pg_database where datname = $1', [template])
    if (found.rowCount) return template
    const half = await throwAwayName(client, `template_${process.pid}`)
    await client.query(`create database ${half}`)
    const halfUrl = urlOfDatabase(ownerUrl, half)
    await prepareDatabase({
      ownerUrl: halfUrl,
      appUrl: appUrlFor(halfUrl, TEST_APP_ROLE, TEST_APP_PASSWORD),
      identityUrl: identityUrlFor(halfUrl, TEST_IDENTITY_ROLE, TEST_APP_PASSWORD),
    })
    await client.query(`alter database ${half} rename to ${template}`) // only a finished one gets the name
    return template
  } finally {
    await client.end()
  }
}

async function dropLeftOvers(client: Client): Promise<void> {
  const { rows } = await client.query<{ datname: string }>(
    `select datname from pg_database d where datname ~ '^test_[0-9]+_'
       and split_part(datname, '_', 2)::bigint < extract(epoch from now()) - $1
       and not exists (select 1 from pg_stat_activity a where a.datid = d.oid)`,
    [LEFT_OVER_SECONDS],
  )
  for (const { datname } of rows) await client.query(`drop database if exists ${datname}`)
}

/** The template belongs to these migrations and queues; other code makes another. */
function hashOfDatabaseCode(): string {
  const hash = createHash('sha256')
  const migrations = readdirSync('prisma/migrations', { recursive: true, encoding: 'utf8' }).sort()
  for (const file of migrations.filter((name) => name.endsWith('.sql')))
    hash.update(file).update(readFileSync(path.join('prisma/migrations', file)))
  for (const file of ['queues.ts', 'install.ts']) hash.update(readFileSync(path.join('lib/platform/jobs', file)))
  return hash.digest('hex').slice(0, 12)
}
