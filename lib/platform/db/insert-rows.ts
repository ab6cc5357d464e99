import 'server-only'
import type { Sql } from './sql'

/** Text of one statement at most, about: large enough that its round trip counts for nothing, small in memory. */
const ROWS_AT_A_TIME = 500

/**
 * Adds many rows, some hundred in one statement (COPY is refused under row-level security). The keys of a row are the columns of
 * the table, all of them: what is left out becomes NULL. Dates as `2026-11-25`; JSON columns as they are.
 * Errors: those of Postgres, after which the transaction can only be rolled back.
 */
export async function insertRows<Row extends Record<string, unknown>>(
  sql: Sql,
  table: 'lane' | 'due_item' | 'repeat_fault' | 'life_model',
  rows: readonly Row[],
): Promise<void> {
  for (let start = 0; start < rows.length; start += ROWS_AT_A_TIME) {
    await sql(`INSERT INTO ${table} SELECT * FROM json_populate_recordset(NULL::${table}, $1::json)`, [
      JSON.stringify(rows.slice(start, start + ROWS_AT_A_TIME)),
    ])
  }
}
