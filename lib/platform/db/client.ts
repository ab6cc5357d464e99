import 'server-only'
import { PrismaPg } from '@prisma/adapter-pg'
import { PrismaClient } from '@/generated/prisma/client'
import { closeBulk } from './bulk-pool'
import { OneAtATimeClient } from './one-at-a-time-client'

/** The two ways in, each a pool and a database role of its own: what is in the one cannot reach what is in the other. */
const WAYS_IN = {
  business: { setting: 'APP_DATABASE_URL', connections: 10 },
  identity: { setting: 'IDENTITY_DATABASE_URL', connections: 4 },
} as const

type WayIn = keyof typeof WAYS_IN

// In development Next reloads modules; the pools must survive that.
const kept = globalThis as typeof globalThis & {
  tankroundDatabases?: Partial<Record<WayIn, { url: string; client: PrismaClient }>>
}

/**
 * The database client of this process for a business's rows, as the app's own login role (never the owner).
 * Errors: Error when APP_DATABASE_URL is not set.
 */
export function database(): PrismaClient {
  return clientOf('business')
}

/**
 * The database client of this process for logins and sessions, as the role of the identity and no other.
 * Errors: Error when IDENTITY_DATABASE_URL is not set.
 */
export function identityDatabase(): PrismaClient {
  return clientOf('identity')
}

/** Closes the pools, so that a command line can end. */
export async function closeDatabase(): Promise<void> {
  await closeBulk()
  const open = Object.values(kept.tankroundDatabases ?? {})
  kept.tankroundDatabases = {}
  await Promise.all(open.map(({ client }) => client.$disconnect()))
}

function clientOf(way: WayIn): PrismaClient {
  const { setting, connections } = WAYS_IN[way]
  const url = process.env[setting]
  if (!url) throw new Error(`${setting} is not set: start with \`npm start\`, which makes it`)
  kept.tankroundDatabases ??= {}
  const open = kept.tankroundDatabases[way]
  if (open?.url === url) return open.client
  const client = new PrismaClient({
    adapter: new PrismaPg({ connectionString: url, max: connections, Client: OneAtATimeClient }),
  })
  kept.tankroundDatabases[way] = { url, client }
  return client
}
