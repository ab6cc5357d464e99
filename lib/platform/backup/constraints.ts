import type { Client } from 'pg'
import { type BackupTable, sqlName } from './tables'

/**
 * Takes down, inside a transaction, what would refuse rows in any order: foreign keys, triggers and the forced row
 * policies. The answer puts everything back, and so checks every foreign key over all rows.
 * (Switching the server's own checks off would need a superuser, which a hosted database does not give.)
 */
export async function takeDownGuards(client: Client, tables: readonly BackupTable[]): Promise<() => Promise<void>> {
  const forced = await client.query<{ schema: string; name: string }>(
    `select n.nspname::text as schema, c.relname::text as name from pg_class c join pg_namespace n on n.oid = c.relnamespace
      where c.relkind = 'r' and c.relforcerowsecurity and n.nspname in ('public', 'identity')`,
  )
  const foreignKeys = await client.query<{ on: string; name: string; definition: string }>(
    `select format('%I.%I', n.nspname, c.relname) as on, quote_ident(k.conname) as name, pg_get_constraintdef(k.oid) as definition
       from pg_constraint k join pg_class c on c.oid = k.conrelid join pg_namespace n on n.oid = c.relnamespace
      where k.contype = 'f' and n.nspname in ('public', 'identity') order by 1, 2`,
  )
  for (const key of foreignKeys.rows) await client.query(`alter table ${key.on} drop constraint ${key.name}`)
  for (const table of tables) await client.query(`alter table ${sqlName(client, table)} disable trigger user`)
  for (const table of forced.rows)
    await client.query(`alter table ${sqlName(client, table)} no force row level security`)
  return async () => {
    for (const key of foreignKeys.rows)
      await client.query(`alter table ${key.on} add constraint ${key.name} ${key.definition}`)
    for (const table of tables) await client.query(`alter table ${sqlName(client, table)} enable trigger user`)
    for (const table of forced.rows)
      await client.query(`alter table ${sqlName(client, table)} force row level security`)
  }
}
