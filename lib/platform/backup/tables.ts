import type { Client } from 'pg'

/**
 * A table whose rows belong into a backup: its columns in their order, its rows in the order of the primary key.
 * `texts` are those columns of the key that a database sorts by its language, unless told otherwise.
 */
export type BackupTable = { schema: string; name: string; columns: string[]; order: string[]; texts: string[] }

/** What a table is called in archives and messages. */
export function tableName({ schema, name }: Pick<BackupTable, 'schema' | 'name'>): string {
  return `${schema}.${name}`
}

/**
 * Not ours to keep: the list of migrations is told apart, counters of sign-in tries are worthless tomorrow, and a session
 * that was ended, or a link that was used or taken back, must not come to life again.
 */
const LEFT_OUT = [
  'public._prisma_migrations',
  ...['rate_limit', 'sign_in_delay', 'session', 'one_time_link'].map((name) => `identity.${name}`),
]

/** Earlier archives still hold these; they are read, compared and then let go. */
export const FORMERLY_KEPT = ['identity.one_time_link']

/**
 * Every table of the business data and of the logins. The job queue is left out: its work is asked for again nightly. With
 * `formerly` also those that earlier archives hold.
 */
export async function listTables(client: Client, { formerly = false } = {}): Promise<BackupTable[]> {
  const { rows } = await client.query<BackupTable>(
    `with key as (
       select i.indrelid, a.attname::text as name, k.place, a.attcollation <> 0 as is_text
         from pg_index i cross join unnest(i.indkey::int[]) with ordinality k(attnum, place)
         join pg_attribute a on a.attrelid = i.indrelid and a.attnum = k.attnum
        where i.indisprimary)
     select n.nspname::text as schema, c.relname::text as name,
       array(select a.attname::text from pg_attribute a
              where a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped and a.attgenerated = '' order by a.attnum) as columns,
       array(select name from key where indrelid = c.oid order by place) as order,
       array(select name from key where indrelid = c.oid and is_text order by place) as texts
     from pg_class c join pg_namespace n on n.oid = c.relnamespace
     where c.relkind = 'r' and n.nspname in ('public', 'identity') and n.nspname || '.' || c.relname <> all($1)
     order by n.nspname collate "C", c.relname collate "C"`,
    [formerly ? LEFT_OUT.filter((name) => !FORMERLY_KEPT.includes(name)) : LEFT_OUT],
  )
  return rows
}

/** The table's name for SQL. */
export function sqlName(client: Client, { schema, name }: Pick<BackupTable, 'schema' | 'name'>): string {
  return `${client.escapeIdentifier(schema)}.${client.escapeIdentifier(name)}`
}

/** A list of columns for SQL. */
export function sqlColumns(client: Client, columns: readonly string[]): string {
  return columns.map((column) => client.escapeIdentifier(column)).join(', ')
}

/** The same order of rows on every server, whatever its language. */
export function sqlOrder(client: Client, { order, texts }: BackupTable): string {
  return order
    .map((column) => `${client.escapeIdentifier(column)}${texts.includes(column) ? ' collate "C"' : ''}`)
    .join(', ')
}

/** One spelling of every value, whatever the server's settings, and names that mean one thing only. */
export const PLAIN_SETTINGS = `set local client_encoding = 'UTF8'; set local datestyle = 'ISO, YMD'; set local intervalstyle = 'iso_8601';
  set local extra_float_digits = 1; set local bytea_output = 'hex'; set local search_path = ''`
