import { randomBytes } from 'node:crypto'
import { Client } from 'pg'
import { openDatabase } from '@/lib/entry/database'
import { prepareDatabase } from '@/lib/entry/prepare-database'
import { closeDatabase } from '@/lib/platform/db/client'

/** A migrated database for one benchmark on DATABASE_URL's server (else the embedded one); dropped afterwards. */
export async function withBenchDatabase(work: (ownerUrl: string) => Promise<void>): Promise<void> {
  const server = await openDatabase()
  const name = `bench_${randomBytes(4).toString('hex')}`
  await asOwner(server.ownerUrl, `create database ${name}`)
  const [ownerUrl, appUrl] = [server.ownerUrl, server.appUrl].map((url) => {
    const own = new URL(url)
    own.pathname = `/${name}`
    return own.href
  })
  if (!ownerUrl || !appUrl) throw new Error('the server has no address')
  const appUrlBefore = process.env.APP_DATABASE_URL
  try {
    await prepareDatabase({ ownerUrl, appUrl })
    process.env.APP_DATABASE_URL = appUrl
    await work(ownerUrl)
  } finally {
    await closeDatabase()
    if (appUrlBefore === undefined) delete process.env.APP_DATABASE_URL
    else process.env.APP_DATABASE_URL = appUrlBefore
    // Not by force: only its own role may end a cleaning process of the server, which a plain drop asks to stop.
    await asOwner(server.ownerUrl, `drop database if exists ${name}`)
    await server.close()
  }
}

/** One statement as the owner. */
export async function asOwner(url: string, statement: string): Promise<void> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    await client.query(statement)
  } finally {
    await client.end()
  }
}
