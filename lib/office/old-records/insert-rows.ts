import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'

/** Bounds the size of one statement: a few megabytes. */
const ROWS_AT_A_TIME = 4000

const snakeCase = (name: string) => name.replace(/[A-Z]/g, (capital) => `_${capital.toLowerCase()}`)

/**
 * Writes many rows of one table in few statements (COPY is refused under row-level security, and a statement with a parameter for
 * each value takes ten times as long). Columns are those that the first row has; all rows have the same. Dates become text.
 * `table` and the columns are names from our own code, never from a file.
 */
export async function insertRows<Row extends object>(
  tx: Transaction,
  table: string,
  rows: readonly Row[],
): Promise<void> {
  const [first] = rows
  if (!first) return
  const fields = Object.keys(first)
  const columns = fields.map((field) => `"${snakeCase(field)}"`).join(', ')
  const sql = `INSERT INTO "${table}" (${columns}) SELECT ${columns} FROM jsonb_populate_recordset(NULL::"${table}", $1::jsonb)`
  for (let at = 0; at < rows.length; at += ROWS_AT_A_TIME) {
    const chunk = rows.slice(at, at + ROWS_AT_A_TIME)
    const renamed = chunk.map((row) =>
      Object.fromEntries(Object.entries(row).map(([field, value]) => [snakeCase(field), value])),
    )
    await tx.$executeRawUnsafe(sql, JSON.stringify(renamed))
  }
}
