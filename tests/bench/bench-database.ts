import { randomBytes } from 'node:crypto'
import { Client } from 'pg'
import { type DatabaseUrls, openDatabase } from '@/lib/entry/database'
import { prepareDatabase } from '@/lib/entry/prepare-database'
import { closeDatabase } from '@/lib/platform/db/client'

/**
 * A migrated database for one benchmark on DATABASE_URL's server (else the embedded one); dropped afterwards, but for one with a
 * `keptName` of which `keep` was called: the next run under that name finds it again.
 */
export async function withBenchDatabase(
  work: (urls: DatabaseUrls, keep: () => void) => Promise<void>,
  { keptName }: { keptName?: string | undefined } = {},
): Promise<void> {
  const server = await openDatabase()
  const name = keptName ?? `bench_${randomBytes(4).toString('hex')}`
  await asOwner(server.ownerUrl, `create database ${name}`).catch((error: unknown) => {
    if (!(keptName && error instanceof Error && 'code' in error && error.code === '42P04')) throw error
  })
  const [ownerUrl, appUrl, identityUrl] = [server.ownerUrl, server.appUrl, server.identityUrl].map((url) => {
    const own = new URL(url)
    own.pathname = `/${name}`
    return own.href
  })
  if (!ownerUrl || !appUrl || !identityUrl) throw new Error('the server has no address')
  let isKept = false
  const { APP_DATABASE_URL: appUrlBefore, IDENTITY_DATABASE_URL: identityUrlBefore } = process.env
  try {
    await prepareDatabase({ ownerUrl, appUrl, identityUrl })
    process.env.APP_DATABASE_URL = appUrl
    process.env.IDENTITY_DATABASE_URL = identityUrl
    await work({ ownerUrl, appUrl, identityUrl }, () => {
      isKept = keptName !== undefined
    })
  } finally {
    await closeDatabase()
    if (appUrlBefore === undefined) delete process.env.APP_DATABASE_URL
    else process.env.APP_DATABASE_URL = appUrlBefore
    if (identityUrlBefore === undefined) delete process.env.IDENTITY_DATABASE_URL
    else process.env.IDENTITY_DATABASE_URL = identityUrlBefore
    // Not by force: only its own role may end a cleaning process of the server, which a plain drop asks to stop.
    if (!isKept) await asOwner(server.ownerUrl, `drop database if exists ${name}`)
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
