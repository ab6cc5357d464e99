import 'server-only'
import { asIdentity, type Transaction } from '@/lib/platform/db/scope'
import type { Actor } from '../frame/actor'
import { ROLES, type Role } from '../frame/role-actions'

/** Who has proved who they are: a login, and the membership through which it comes in. */
export type Proven = {
  loginId: string
  membershipId: string
  businessId: string
  /** What their password was checked against; a session begins only while it still is the login's. */
  passwordHash?: string
}

type MemberRow = { personId: string; roles: string[]; clientId: string | null; name: string }

/** The actor behind a membership, or null when it no longer holds: taken back, another login's, or the login switched off. */
export function actorOf(proven: Proven): Promise<Actor | null> {
  return asIdentity((tx) => readActor(tx, proven))
}

/** The same inside a transaction of the identity. */
export async function readActor(tx: Transaction, { loginId, membershipId, businessId }: Proven): Promise<Actor | null> {
  const [row] = await tx.$queryRaw<MemberRow[]>`
    SELECT m.person_id::text AS "personId", m.roles, m.client_id::text AS "clientId", p.name
      FROM membership m
      JOIN identity.login l ON l.id = m.login_id AND l.disabled_at IS NULL
      JOIN person p ON p.business_id = m.business_id AND p.id = m.person_id
     WHERE m.business_id = ${businessId}::uuid AND m.id = ${membershipId}::uuid AND m.login_id = ${loginId}::uuid
           AND m.revoked_at IS NULL`
  if (!row) return null
  const { personId, clientId, name } = row
  const roles = row.roles.filter((role): role is Role => ROLES.some((known) => known === role))
  return { businessId, personId, membershipId, roles, ...(clientId ? { clientId } : {}), name }
}
