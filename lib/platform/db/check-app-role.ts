import { Client } from 'pg'
import { OperatorError } from '@/lib/platform/config/operator-error'

/**
 * Refuses, in words, to work with a database role that row-level security cannot hold: a superuser, a role with
 * BYPASSRLS, or one that owns a table (also through a role it is a member of).
 */
export async function checkAppRole(appUrl: string): Promise<void> {
  const client = new Client({ connectionString: appUrl })
  await client.connect()
  try {
    const { rows } = await client.query<{ name: string; superuser: boolean; bypass: boolean; owned: string | null }>(
      `select current_user as name, r.rolsuper as superuser, r.rolbypassrls as bypass,
         (select n.nspname || '.' || c.relname from pg_class c join pg_namespace n on n.oid = c.relnamespace
           where c.relkind in ('r', 'p') and n.nspname not in ('pg_catalog', 'information_schema', 'pg_toast')
             and (c.relowner = r.oid or pg_has_role(r.oid, c.relowner, 'member'))
           order by 1 limit 1) as owned
       from pg_roles r where r.rolname = current_user`,
    )
    const role = rows[0]
    const fault = role?.superuser
      ? 'is a superuser'
      : role?.bypass
        ? 'may bypass row-level security (BYPASSRLS)'
        : role?.owned
          ? `owns the table ${role.owned}`
          : null
    if (fault)
      throw new OperatorError(
        `The database role "${role?.name}" ${fault}, so businesses would not be kept apart. Give APP_DATABASE_URL a plain role.`,
      )
  } finally {
    await client.end()
  }
}
