import 'server-only'
import { Prisma } from '@/generated/prisma/client'
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

export type MemberRow = { personId: string; roles: string[]; clientId: string | null; name: string }

/** A membership `m` that still holds for a login `l` that is not switched off, and its person `p`. */
export const HOLDING_MEMBERSHIP = Prisma.sql`membership m
  JOIN identity.login l ON l.id = m.login_id AND l.disabled_at IS NULL
  JOIN person p ON p.business_id = m.business_id AND p.id = m.person_id AND m.revoked_at IS NULL`
export const MEMBER_COLUMNS = Prisma.sql`m.person_id::text AS "personId", m.roles, m.client_id::text AS "clientId", p.name`

/** The actor behind a membership, or null when it no longer holds: taken back, another login's, or the login switched off. */
export function actorOf(proven: Proven): Promise<Actor | null> {
  return asIdentity((tx) => readActor(tx, proven))
}

/** The same inside a transaction of the identity. */
async function readActor(tx: Transaction, proven: Proven): Promise<Actor | null> {
  const { loginId, membershipId, businessId } = proven
  const [row] = await tx.$queryRaw<MemberRow[]>`
    SELECT ${MEMBER_COLUMNS} FROM ${HOLDING_MEMBERSHIP}
    WHERE m.business_id = ${businessId}::uuid AND m.id = ${membershipId}::uuid AND m.login_id = ${loginId}::uuid`
  return row ? memberAsActor(proven, row) : null
}

export function memberAsActor({ businessId, membershipId }: Proven, row: MemberRow): Actor {
  const { personId, clientId, name } = row
  const roles = row.roles.filter((role): role is Role => ROLES.some((known) => known === role))
  return { businessId, personId, membershipId, roles, ...(clientId ? { clientId } : {}), name }
}
