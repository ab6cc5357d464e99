import 'server-only'
import { Pool } from 'pg'

// In development Next reloads modules; the pool must survive that.
const kept = globalThis as typeof globalThis & { tankroundBulk?: { url: string; pool: Pool } }

/** Connections for bulk work beside the commands' own: a rebuild takes two, and keeps a processor of the database busy. */
const MOST_CONNECTIONS = 4

/** Closes these connections, so that a command line can end. */
export async function closeBulk(): Promise<void> {
  await kept.tankroundBulk?.pool.end()
  kept.tankroundBulk = undefined
}

/**
 * The pool for bulk work, as the app's own login role. Errors: Error when APP_DATABASE_URL is not set.
 */
export function bulkPool(): Pool {
  const url = process.env.APP_DATABASE_URL
  if (!url) throw new Error('APP_DATABASE_URL is not set: start with `npm start`, which makes it')
  if (kept.tankroundBulk?.url !== url) {
    const pool = new Pool({ connectionString: url, max: MOST_CONNECTIONS, allowExitOnIdle: true })
    // A connection that breaks while nobody uses it is thrown away by the pool; the next work opens another.
    pool.on('error', () => undefined)
    // One that breaks between two questions of a work fails the next question; unheard it would end the program with a stack.
    pool.on('connect', (client) => client.on('error', () => undefined))
    kept.tankroundBulk = { url, pool }
  }
  return kept.tankroundBulk.pool
}
