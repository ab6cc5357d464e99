import type { Client } from 'pg'
import { type BackupTable, sqlName } from './tables'

/** The role that reads every business's rows, and nothing else; only the database's owner may take it. */
export const BACKUP_ROLE = 'tankround_backup'

/**
 * Row-level security is forced, so even the owner of the tables sees nothing in them. For a backup there is a role of its
 * own that may read all rows; made here, and given each new table when one appears. Needs the owner's connection.
 */
export async function ensureBackupRole(client: Client, tables: readonly BackupTable[]): Promise<void> {
  await client.query(`do $$ begin create role ${BACKUP_ROLE} nologin nosuperuser nobypassrls;
    exception when duplicate_object or unique_violation then null; end $$`)
  const member = await client.query(
    `select 1 from pg_roles where rolname = current_user and rolsuper
    union select 1 from pg_auth_members m join pg_roles r on r.oid = m.roleid
     where r.rolname = $1 and m.member = (select oid from pg_roles where rolname = current_user)
       and coalesce((to_jsonb(m) ->> 'set_option')::boolean, true)`,
    [BACKUP_ROLE],
  )
  if (member.rowCount === 0) {
    // The owner may put the role on, but does not carry its rights all day (a choice that Postgres has since 16).
    const { rows } = await client.query<{ modern: boolean }>(
      `select current_setting('server_version_num')::int >= 160000 as modern`,
    )
    await client.query(`grant ${BACKUP_ROLE} to current_user${rows[0]?.modern ? ' with inherit false, set true' : ''}`)
  }
  const open = await readable(client)
  for (const table of tables) {
    const known = open.get(`${table.schema}.${table.name}`)
    if (!known?.granted)
      await client.query(`grant usage on schema ${client.escapeIdentifier(table.schema)} to ${BACKUP_ROLE};
        grant select on ${sqlName(client, table)} to ${BACKUP_ROLE}`)
    if (known?.guarded && !known.policy)
      await client.query(
        `create policy backup_reads_all on ${sqlName(client, table)} for select to ${BACKUP_ROLE} using (true)`,
      )
  }
}

type Readable = { table: string; granted: boolean; guarded: boolean; policy: boolean }

async function readable(client: Client): Promise<Map<string, Readable>> {
  const { rows } = await client.query<Readable>(
    `select n.nspname || '.' || c.relname as table, c.relrowsecurity as guarded,
       has_table_privilege($1, c.oid, 'select') and has_schema_privilege($1, n.oid, 'usage') as granted,
       exists (select 1 from pg_policy p where p.polrelid = c.oid and p.polname = 'backup_reads_all') as policy
     from pg_class c join pg_namespace n on n.oid = c.relnamespace
     where c.relkind = 'r' and n.nspname in ('public', 'identity')`,
    [BACKUP_ROLE],
  )
  return new Map(rows.map((row) => [row.table, row]))
}
