import 'server-only'
import { bulkPool } from './bulk-pool'
import { type Scope, scopeStatement, type Transaction } from './scope'

/**
 * One statement in SQL and the rows it answers. The same statement can run inside a command's transaction and, for all rows of a
 * business, on a connection of its own.
 */
export type Sql = <Row extends object>(text: string, values: readonly unknown[]) => Promise<Row[]>

/** Statements inside a running transaction, which already is somebody's. */
export function sqlOf(tx: Transaction): Sql {
  return (text, values) => tx.$queryRawUnsafe(text, ...values)
}

/** Room for sorting what is read at a time, so that it need not go through the disk. */
const SORTING_MEMORY = '128MB'

/**
 * Runs `work` with a connection that only reads, as the role and with the settings of `scope`, and sees one moment from the
 * first statement to the last (repeatable read), whatever is written meanwhile; with `snapshot` the moment that another reader
 * handed out by `snapshotOf`. One statement at a time. Errors: whatever `work` throws.
 */
export function inReading<T>(
  scope: Scope,
  work: (sql: Sql) => Promise<T>,
  { snapshot }: { snapshot?: string } = {},
): Promise<T> {
  if (snapshot !== undefined && !/^[0-9A-F-]+$/.test(snapshot)) throw new RangeError(`${snapshot} is no snapshot`)
  const moment = snapshot === undefined ? [] : [`SET TRANSACTION SNAPSHOT '${snapshot}'`]
  return onConnection(['BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY', ...moment], scope, work)
}

/** The moment that a reader sees, for others to see the same; good as long as the reader's transaction runs. */
export async function snapshotOf(read: Sql): Promise<string> {
  const [row] = await read<{ snapshot: string }>('SELECT pg_export_snapshot() AS snapshot', [])
  return row?.snapshot ?? ''
}

/**
 * Runs `work` in one transaction of a plain connection, for writing in bulk: a statement of a megabyte goes through Prisma several
 * times slower. One statement at a time. Errors: whatever `work` throws, after a rollback.
 */
export function inWriting<T>(scope: Scope, work: (sql: Sql) => Promise<T>): Promise<T> {
  return onConnection(['BEGIN'], scope, work)
}

async function onConnection<T>(begin: string[], scope: Scope, work: (sql: Sql) => Promise<T>): Promise<T> {
  const client = await bulkPool().connect()
  let broken: Error | undefined
  try {
    for (const statement of begin) await client.query(statement)
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
