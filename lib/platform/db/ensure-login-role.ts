import { Client } from 'pg'
import { OperatorError } from '@/lib/platform/config/operator-error'

/** What one way into the database may become; the roles that carry the rights are made by the first migration. */
type WayIn = { login: string; setting: string; rights: readonly string[]; never: readonly string[] }

/** The role with which the application signs in for a business's rows; no rights of its own, one of these per transaction. */
export const APP_ROLE = 'tankround_app'

/** The role with which the application signs in for logins and sessions. */
export const IDENTITY_ROLE = 'tankround_sign_in'

/** The two ways in: whoever has got into the one cannot become the other. */
export const WAYS_IN = {
  app: {
    login: APP_ROLE,
    setting: 'APP_DATABASE_URL',
    rights: ['tankround_office', 'tankround_client', 'tankround_jobs'],
    never: ['tankround_identity'],
  },
  identity: {
    login: IDENTITY_ROLE,
    setting: 'IDENTITY_DATABASE_URL',
    rights: ['tankround_identity'],
    never: ['tankround_office', 'tankround_client', 'tankround_jobs'],
  },
} as const satisfies Record<string, WayIn>

/**
 * Makes sure that the role of `url` exists, can sign in with the password in it and may take just the rights of its way
 * in. `ownerUrl` must be allowed to make roles, unless the role is already complete. Run after the migrations.
 */
export async function ensureLoginRole(ownerUrl: string, url: string, way: WayIn): Promise<void> {
  const given = new URL(url)
  const role = decodeURIComponent(given.username)
  const client = new Client({ connectionString: ownerUrl })
  await client.connect()
  try {
    const name = client.escapeIdentifier(role)
    const password = client.escapeLiteral(decodeURIComponent(given.password))
    const known = await client.query('select 1 from pg_roles where rolname = $1', [role])
    if (known.rowCount === 0)
      await client.query(`create role ${name} login noinherit nosuperuser nobypassrls password ${password}`)
    else if (!(await canConnect(url))) {
      if (role !== way.login)
        throw new OperatorError(
          `The database role "${role}" of ${way.setting} cannot sign in with the password given there.`,
        )
      await client.query(`alter role ${name} login password ${password}`)
    }
    for (const right of await rightsOf(client, role, way.rights, 'missing'))
      await client.query(`grant ${client.escapeIdentifier(right)} to ${name}`)
    for (const right of await rightsOf(client, role, way.never, 'held'))
      await client.query(`revoke ${client.escapeIdentifier(right)} from ${name}`)
  } finally {
    await client.end()
  }
}

/** Those of these rights that the role lacks, or that it holds by itself. */
async function rightsOf(client: Client, role: string, rights: readonly string[], which: 'missing' | 'held') {
  const { rows } = await client.query<{ rolname: string }>(
    `select rolname from pg_roles where rolname = any($2) and $3 = exists (
       select 1 from pg_auth_members where roleid = pg_roles.oid and member = (select oid from pg_roles where rolname = $1))`,
    [role, rights, which === 'held'],
  )
  return rows.map(({ rolname }) => rolname)
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
