import 'server-only'
import type { SessionClaims } from '@/lib/platform/auth/options'
import { asIdentity } from '@/lib/platform/db/scope'
import type { Actor } from '../actor'
import { ROLES, type Role } from './role-actions'

/**
 * The actor a session stands for, or null when it no longer holds. Membership, login and session version are read again
 * at every request, so that signing out everywhere and taking a role away work at once.
 */
export function actorOf(claims: SessionClaims): Promise<Actor | null> {
  return asIdentity(async (tx) => {
    const login = await tx.login.findUnique({ where: { id: claims.loginId } })
    if (!login || login.disabledAt || login.sessionVersion !== claims.sessionVersion) return null
    const membership = await tx.membership.findFirst({
      where: { businessId: claims.businessId, id: claims.membershipId, loginId: login.id, revokedAt: null },
    })
    if (!membership) return null
    const person = await tx.person.findUnique({
      where: { businessId_id: { businessId: membership.businessId, id: membership.personId } },
      select: { name: true },
    })
    return {
      businessId: membership.businessId,
      personId: membership.personId,
      membershipId: membership.id,
      roles: membership.roles.filter((role): role is Role => ROLES.some((known) => known === role)),
      ...(membership.clientId ? { clientId: membership.clientId } : {}),
      name: person?.name ?? '',
    }
  })
}
