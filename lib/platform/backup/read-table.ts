import { createHash } from 'node:crypto'
import type { Client } from 'pg'
import { to as copyTo } from 'pg-copy-streams'
import { type BackupTable, sqlColumns, sqlName, sqlOrder } from './tables'

/** Reads a table in Postgres' own text form, row by row in the order of its key; counts and hashes what comes. */
export async function readTable(
  client: Client,
  table: BackupTable,
  take?: (chunk: Buffer) => Promise<void>,
): Promise<{ rows: number; sha256: string }> {
  const hash = createHash('sha256')
  let rows = 0
  const order = table.order.length > 0 ? sqlOrder(client, table) : sqlColumns(client, table.columns)
  const select = `select ${sqlColumns(client, table.columns)} from ${sqlName(client, table)} order by ${order}`
  const stream: AsyncIterable<Buffer> = client.query(copyTo(`copy (${select}) to stdout`))
  for await (const chunk of stream) {
    hash.update(chunk)
    // A line break inside a value is written as \n, so each real one ends a row.
    for (const byte of chunk) if (byte === 10) rows += 1
    await take?.(chunk)
  }
  return { rows, sha256: hash.digest('hex') }
}
