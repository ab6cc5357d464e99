import { randomBytes } from 'node:crypto'
import { Client } from 'pg'
import { afterAll, inject } from 'vitest'
import { appUrlFor, type DatabaseUrls, identityUrlFor } from '@/lib/entry/database'
import { closeDatabase } from '@/lib/platform/db/client'
import { TEST_APP_PASSWORD, TEST_APP_ROLE, TEST_IDENTITY_ROLE, throwAwayName, urlOfDatabase } from './test-server-urls'

let made: Promise<DatabaseUrls> | undefined

/**
 * A database of this test file's own, empty and migrated; the same one on each call until `dropTestDatabase`. Sets APP_DATABASE_URL
 * and IDENTITY_DATABASE_URL, so that `database()`, `inScope()` and the commands of the office work on it; it is dropped after the file.
 */
export function testDatabase(): Promise<DatabaseUrls> {
  made ??= makeDatabase()
  return made
}

async function makeDatabase(): Promise<DatabaseUrls> {
  const { ownerUrl: server, template } = inject('testServer')
  const name = await asServerOwner(server, async (client) => {
    const fresh = await throwAwayName(client, `${process.env.VITEST_POOL_ID ?? '0'}_${randomBytes(4).toString('hex')}`)
    await client.query(`create database ${fresh} template ${template}`)
    return fresh
  })
  const ownerUrl = urlOfDatabase(server, name)
  const appUrl = appUrlFor(ownerUrl, TEST_APP_ROLE, TEST_APP_PASSWORD)
  const identityUrl = identityUrlFor(ownerUrl, TEST_IDENTITY_ROLE, TEST_APP_PASSWORD)
  process.env.APP_DATABASE_URL = appUrl
  process.env.IDENTITY_DATABASE_URL = identityUrl
  return { ownerUrl, appUrl, identityUrl }
}

afterAll(() => dropTestDatabase())

/** Drops it before the file ends: the next `testDatabase()` makes another one, empty again. */
export async function dropTestDatabase(): Promise<void> {
  if (!made) return
  const { ownerUrl } = await made
  made = undefined
  await closeDatabase()
  const name = new URL(ownerUrl).pathname.slice(1)
  await asServerOwner(inject('testServer').ownerUrl, (client) =>
    client
      .query(`drop database if exists ${name} with (force)`)
      // Nobody but a superuser may end a vacuum that has begun by itself; without force Postgres ends it on its own.
      .catch(() => client.query(`drop database if exists ${name}`)),
  )
}

async function asServerOwner<T>(url: string, work: (client: Client) => Promise<T>): Promise<T> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    return await work(client)
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
  const { ownerUrl, appUrl, identityUrl } = await testDatabase()
  const urls = { owner: ownerUrl, app: appUrl, identity: identityUrl, jobs: appUrl, office: appUrl, client: appUrl }
  const client = new Client({ connectionString: urls[who.role] })
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
