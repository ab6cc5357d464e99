import 'server-only'
import type { Sql } from './sql'

/** Text of one statement at most, about: large enough that its round trip counts for nothing, small in memory. */
const ROWS_AT_A_TIME = 500

/** Rows of a table as texts ready to be sent, so that one thread can make them and another send them. */
export type PackedRows = { table: 'lane' | 'due_item' | 'repeat_fault' | 'life_model'; texts: string[] }

/**
 * Packs rows. The keys of a row are the columns of the table, all of them: what is left out becomes NULL. Dates as `2026-11-25`;
 * JSON columns as they are.
 */
export function packRows(table: PackedRows['table'], rows: readonly Record<string, unknown>[]): PackedRows {
  const texts: string[] = []
  for (let start = 0; start < rows.length; start += ROWS_AT_A_TIME)
    texts.push(JSON.stringify(rows.slice(start, start + ROWS_AT_A_TIME)))
  return { table, texts }
}

/**
 * Adds many rows, some hundred in one statement (COPY is refused under row-level security). Errors: those of Postgres, after which
 * the transaction can only be rolled back.
 */
export async function insertRows(sql: Sql, { table, texts }: PackedRows): Promise<void> {
  for (const text of texts)
    await sql(`INSERT INTO ${table} SELECT * FROM json_populate_recordset(NULL::${table}, $1::json)`, [text])
}
