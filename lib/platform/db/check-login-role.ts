import { Client } from 'pg'
import { OperatorError } from '@/lib/platform/config/operator-error'
import type { WAYS_IN } from './ensure-login-role'

/**
 * Refuses, in words, to work with a database role that cannot be held: a superuser, a role with BYPASSRLS, one that owns
 * a table (also through a role it is a member of), or one that could become the role of the other way in.
 */
export async function checkLoginRole(url: string, way: (typeof WAYS_IN)[keyof typeof WAYS_IN]): Promise<void> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    const { rows } = await client.query<{
      name: string
      superuser: boolean
      bypass: boolean
      owned: string | null
      other: string | null
    }>(
      `select current_user as name, r.rolsuper as superuser, r.rolbypassrls as bypass,
         (select n.nspname || '.' || c.relname from pg_class c join pg_namespace n on n.oid = c.relnamespace
           where c.relkind in ('r', 'p') and n.nspname not in ('pg_catalog', 'information_schema', 'pg_toast')
             and (c.relowner = r.oid or pg_has_role(r.oid, c.relowner, 'member'))
           order by 1 limit 1) as owned,
         (select o.rolname from pg_roles o where o.rolname = any($1) and pg_has_role(r.oid, o.oid, 'member')
           order by 1 limit 1) as other
       from pg_roles r where r.rolname = current_user`,
      [way.never],
    )
    const role = rows[0]
    const fault = role?.superuser
      ? 'is a superuser, so businesses would not be kept apart'
      : role?.bypass
        ? 'may bypass row-level security (BYPASSRLS), so businesses would not be kept apart'
        : role?.owned
          ? `owns the table ${role.owned}, so businesses would not be kept apart`
          : role?.other
            ? `may become ${role.other}, so sign-ins and business data would not be kept apart`
            : null
    if (fault) throw new OperatorError(`The database role "${role?.name}" ${fault}. Give ${way.setting} a plain role.`)
  } finally {
    await client.end()
  }
}
