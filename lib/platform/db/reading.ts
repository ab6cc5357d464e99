import 'server-only'
import { Pool } from 'pg'
import { type Scope, scopeStatement, type Transaction } from './scope'

/**
 * Asks one question in SQL and answers its rows. The same question can be asked inside a command's transaction and, for all
 * rows of a business, on a connection that only reads.
 */
export type SqlReader = <Row extends object>(text: string, values: readonly unknown[]) => Promise<Row[]>

/** Asks inside a running transaction, which already is somebody's. */
export function readerOf(tx: Transaction): SqlReader {
  return (text, values) => tx.$queryRawUnsafe(text, ...values)
}

// In development Next reloads modules; the pool must survive that.
const kept = globalThis as typeof globalThis & { tankroundReading?: { url: string; pool: Pool } }

/** Connections for long reads beside the commands' own; few, for one of them keeps a processor of the database busy. */
const MOST_CONNECTIONS = 2

/** Room for sorting what is read at a time, so that it need not go through the disk. */
const SORTING_MEMORY = '128MB'

/**
 * Runs `work` with a connection that only reads, as the role and with the settings of `scope`, and sees one moment from the
 * first question to the last (repeatable read), whatever is written meanwhile. One question at a time.
 * Errors: whatever `work` throws.
 */
export async function inReading<T>(scope: Scope, work: (read: SqlReader) => Promise<T>): Promise<T> {
  const client = await readingPool().connect()
  let broken: Error | undefined
  try {
    await client.query('BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY')
    const { text, values } = scopeStatement(scope)
    await client.query(text, values)
    await client.query(`SELECT set_config('work_mem', $1, true)`, [SORTING_MEMORY])
    const answer = await work(async <Row extends object>(text: string, values: readonly unknown[]) => {
      const { rows } = await client.query<Row>(text, [...values])
      return rows
    })
    await client.query('COMMIT')
    return answer
  } catch (error) {
    await client.query('ROLLBACK').catch((failure: Error) => {
      broken = failure
    })
    throw error
  } finally {
    client.release(broken)
  }
}

/** Closes the connections that only read, so that a command line can end. */
export async function closeReading(): Promise<void> {
  await kept.tankroundReading?.pool.end()
  kept.tankroundReading = undefined
}

function readingPool(): Pool {
  const url = process.env.APP_DATABASE_URL
  if (!url) throw new Error('APP_DATABASE_URL is not set: start with `npm start`, which makes it')
  if (kept.tankroundReading?.url !== url) {
    const pool = new Pool({ connectionString: url, max: MOST_CONNECTIONS, allowExitOnIdle: true })
    // A connection that breaks while nobody uses it is thrown away by the pool; the next question opens another.
    pool.on('error', () => undefined)
    kept.tankroundReading = { url, pool }
  }
  return kept.tankroundReading.pool
}
