import { Client } from 'pg'
import { OperatorError } from '@/lib/platform/config/operator-error'

/** The roles that carry the rights; made by the first migration, none of them can sign in by itself. */
export const RIGHTS_ROLES = ['tankround_office', 'tankround_client', 'tankround_identity', 'tankround_jobs'] as const

/** The role with which the application signs in; it has no rights of its own and takes one of RIGHTS_ROLES per transaction. */
export const APP_ROLE = 'tankround_app'

/**
 * Makes sure that the role of `appUrl` exists, can sign in with the password in it and may take each of RIGHTS_ROLES.
 * `ownerUrl` must be allowed to make roles, unless the role is already complete. Run after the migrations.
 */
export async function ensureAppRole(ownerUrl: string, appUrl: string): Promise<void> {
  const app = new URL(appUrl)
  const role = decodeURIComponent(app.username)
  const client = new Client({ connectionString: ownerUrl })
  await client.connect()
  try {
    const name = client.escapeIdentifier(role)
    const password = client.escapeLiteral(decodeURIComponent(app.password))
    const known = await client.query('select 1 from pg_roles where rolname = $1', [role])
    if (known.rowCount === 0)
      await client.query(`create role ${name} login noinherit nosuperuser nobypassrls password ${password}`)
    else if (!(await canConnect(appUrl))) {
      if (role !== APP_ROLE)
        throw new OperatorError(
          `The database role "${role}" of APP_DATABASE_URL cannot sign in with the password given there.`,
        )
      await client.query(`alter role ${name} login password ${password}`)
    }
    const missing = await client.query<{ rolname: string }>(
      `select rolname from pg_roles where rolname = any($2) and not exists (
         select 1 from pg_auth_members where roleid = pg_roles.oid and member = (select oid from pg_roles where rolname = $1))`,
      [role, [...RIGHTS_ROLES]],
    )
    for (const { rolname } of missing.rows) await client.query(`grant ${client.escapeIdentifier(rolname)} to ${name}`)
  } finally {
    await client.end()
  }
}

async function canConnect(url: string): Promise<boolean> {
  const client = new Client({ connectionString: url })
  try {
    await client.connect()
    return true
  } catch {
    return false
  } finally {
    await client.end().catch(() => undefined)
  }
}
