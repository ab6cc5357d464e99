import type { Client } from 'pg'

/** A table whose rows belong into a backup; columns in their order, rows in the order of the primary key. */
export type BackupTable = { schema: string; name: string; columns: string[]; order: string[] }

/** Not ours to keep: the list of migrations is told apart, and counters of sign-in tries are worthless tomorrow. */
const LEFT_OUT = ['public._prisma_migrations', 'identity.rate_limit']

/** Every table of the business data and of the logins. The job queue is left out: its work is asked for again nightly. */
export async function listTables(client: Client): Promise<BackupTable[]> {
  const { rows } = await client.query<BackupTable>(
    `select n.nspname::text as schema, c.relname::text as name,
       array(select a.attname::text from pg_attribute a
              where a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped and a.attgenerated = '' order by a.attnum) as columns,
       array(select a.attname::text from pg_index i, unnest(i.indkey::int[]) with ordinality k(attnum, place)
               join pg_attribute a on a.attrelid = c.oid and a.attnum = k.attnum
              where i.indrelid = c.oid and i.indisprimary and a.attnum = k.attnum and a.attrelid = i.indrelid
              order by k.place) as order
     from pg_class c join pg_namespace n on n.oid = c.relnamespace
     where c.relkind = 'r' and n.nspname in ('public', 'identity') and n.nspname || '.' || c.relname <> all($1)
     order by n.nspname, c.relname`,
    [LEFT_OUT],
  )
  return rows
}

/** The names of the migrations this database has. */
export async function listMigrations(client: Client): Promise<string[]> {
  const { rows } = await client.query<{ name: string }>(
    `select migration_name as name from public._prisma_migrations
      where finished_at is not null and rolled_back_at is null order by migration_name`,
  )
  return rows.map(({ name }) => name)
}

/** The table's name for SQL. */
export function sqlName(client: Client, { schema, name }: Pick<BackupTable, 'schema' | 'name'>): string {
  return `${client.escapeIdentifier(schema)}.${client.escapeIdentifier(name)}`
}

/** A list of columns for SQL. */
export function sqlColumns(client: Client, columns: readonly string[]): string {
  return columns.map((column) => client.escapeIdentifier(column)).join(', ')
}

/** One spelling of every value, whatever the server's settings, and names that mean one thing only. */
export const PLAIN_SETTINGS = `set local client_encoding = 'UTF8'; set local datestyle = 'ISO, YMD'; set local intervalstyle = 'iso_8601';
  set local extra_float_digits = 1; set local bytea_output = 'hex'; set local search_path = ''`
