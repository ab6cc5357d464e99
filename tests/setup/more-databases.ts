import { randomBytes } from 'node:crypto'
import { Client } from 'pg'
import { afterAll, inject } from 'vitest'
import { appUrlFor, type DatabaseUrls, identityUrlFor } from '@/lib/entry/database'
import { testDatabase } from './database'
import { TEST_APP_PASSWORD, TEST_APP_ROLE, TEST_IDENTITY_ROLE, urlOfDatabase } from './test-server-urls'

const made: string[] = []

/**
 * Another database for a test that restores: `bare` as a server gives it, or `migrated` and empty; the owner's address. Dropped
 * after the file.
 */
export async function anotherDatabase(kind: 'bare' | 'migrated'): Promise<string> {
  const { ownerUrl: server, template } = inject('testServer')
  // Named as the file's own one is, so that what a run that was cut off leaves is dropped by the next.
  const own = new URL((await testDatabase()).ownerUrl).pathname.slice(1)
  const name = `${own}_${randomBytes(3).toString('hex')}`
  await asOwner(server, (client) =>
    client.query(`create database ${name} ${kind === 'migrated' ? `template ${template}` : ''}`),
  )
  made.push(name)
  return urlOfDatabase(server, name)
}

/** The ways into such a database, for the tests' own roles. */
export function urlsOf(ownerUrl: string): DatabaseUrls {
  return {
    ownerUrl,
    appUrl: appUrlFor(ownerUrl, TEST_APP_ROLE, TEST_APP_PASSWORD),
    identityUrl: identityUrlFor(ownerUrl, TEST_IDENTITY_ROLE, TEST_APP_PASSWORD),
  }
}

/** Drops one of them now: a test that makes many should not keep them all. */
export async function dropDatabase(url: string): Promise<void> {
  const name = new URL(url).pathname.slice(1)
  await asOwner(inject('testServer').ownerUrl, async (client) => {
    await client
      .query(`drop database if exists ${name} with (force)`)
      // Nobody but a superuser may end a vacuum that has begun by itself; without force Postgres ends it on its own.
      .catch(() => client.query(`drop database if exists ${name}`))
  })
}

afterAll(async () => {
  for (const name of made) await dropDatabase(urlOfDatabase(inject('testServer').ownerUrl, name))
})

/** Runs `work` on a plain connection of the database's owner. */
export async function asOwner<T>(url: string, work: (client: Client) => Promise<T>): Promise<T> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    return await work(client)
  } finally {
    await client.end()
  }
}
