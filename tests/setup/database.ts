import { randomBytes } from 'node:crypto'
import { Client } from 'pg'
import { afterAll, inject } from 'vitest'
import { appUrlFor, type DatabaseUrls } from '@/lib/entry/database'
import { closeDatabase } from '@/lib/platform/db/client'
import { TEST_APP_PASSWORD, TEST_APP_ROLE, urlOfDatabase } from './test-server-urls'

let made: Promise<DatabaseUrls> | undefined

/**
 * A database of this test file's own, empty and migrated; the same one on each call. Sets APP_DATABASE_URL, so that
 * `database()`, `inScope()` and the commands of the office work on it; it is dropped after the file.
 */
export function testDatabase(): Promise<DatabaseUrls> {
  made ??= makeDatabase()
  return made
}

async function makeDatabase(): Promise<DatabaseUrls> {
  const { ownerUrl: server, template } = inject('testServer')
  const name = `test_${Math.floor(Date.now() / 1000)}_${process.env.VITEST_POOL_ID ?? '0'}_${randomBytes(4).toString('hex')}`
  await asServerOwner(server, (client) => client.query(`create database ${name} template ${template}`))
  const ownerUrl = urlOfDatabase(server, name)
  const appUrl = appUrlFor(ownerUrl, TEST_APP_ROLE, TEST_APP_PASSWORD)
  process.env.APP_DATABASE_URL = appUrl
  return { ownerUrl, appUrl }
}

afterAll(async () => {
  if (!made) return
  const { ownerUrl } = await made
  await closeDatabase()
  const name = new URL(ownerUrl).pathname.slice(1)
  await asServerOwner(inject('testServer').ownerUrl, (client) =>
    client
      .query(`drop database if exists ${name} with (force)`)
      // Nobody but a superuser may end a vacuum that has begun by itself; without force Postgres ends it on its own.
      .catch(() => client.query(`drop database if exists ${name}`)),
  )
})

async function asServerOwner(url: string, work: (client: Client) => Promise<unknown>): Promise<void> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    await work(client)
  } finally {
    await client.end()
  }
}

/** Who asks the database, for a look around the office's own functions. */
export type AskAs =
  | { role: 'owner' | 'app' | 'identity' | 'jobs' }
  | { role: 'office'; businessId: string; personId?: string }
  | { role: 'client'; businessId: string; clientId: string; personId?: string }

/**
 * Runs `work` in one transaction of a plain connection, with the rights and settings of `who`, and commits it.
 * The owner is held by row-level security too (FORCE), so a look at a business's rows is a look as its office.
 */
export async function askAs<T>(who: AskAs, work: (client: Client) => Promise<T>): Promise<T> {
  const { ownerUrl, appUrl } = await testDatabase()
  const client = new Client({ connectionString: who.role === 'owner' ? ownerUrl : appUrl })
  await client.connect()
  try {
    await client.query('begin')
    if (who.role !== 'owner' && who.role !== 'app') await client.query(`set local role tankround_${who.role}`)
    const settings = {
      'app.business_id': 'businessId' in who ? who.businessId : '',
      'app.client_id': 'clientId' in who ? who.clientId : '',
      'app.user_id': 'personId' in who ? (who.personId ?? '') : '',
    }
    for (const [name, value] of Object.entries(settings))
      await client.query('select set_config($1, $2, true)', [name, value])
    const result = await work(client)
    await client.query('commit')
    return result
  } finally {
    await client.end()
  }
}
