import 'server-only'
import { PrismaPg } from '@prisma/adapter-pg'
import { PrismaClient } from '@/generated/prisma/client'
import { closeBulk } from './bulk-pool'

// In development Next reloads modules; the pool must survive that.
const kept = globalThis as typeof globalThis & { tankroundDatabase?: { url: string; client: PrismaClient } }

/**
 * The one database client of this process, as the app's own login role (never the owner).
 * Errors: Error when APP_DATABASE_URL is not set.
 */
export function database(): PrismaClient {
  const url = process.env.APP_DATABASE_URL
  if (!url) throw new Error('APP_DATABASE_URL is not set: start with `npm start`, which makes it')
  if (kept.tankroundDatabase?.url !== url) {
    const client = new PrismaClient({ adapter: new PrismaPg({ connectionString: url, max: 10 }) })
    kept.tankroundDatabase = { url, client }
  }
  return kept.tankroundDatabase.client
}

/** Closes the pools, so that a command line can end. */
export async function closeDatabase(): Promise<void> {
  await closeBulk()
  await kept.tankroundDatabase?.client.$disconnect()
  kept.tankroundDatabase = undefined
}
