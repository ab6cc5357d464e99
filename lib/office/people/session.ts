import 'server-only'
import { notFound, redirect } from 'next/navigation'
import { getServerSession } from 'next-auth'
import { cache } from 'react'
import { authOptions } from '@/lib/platform/auth/options'
import { asIdentity } from '@/lib/platform/db/scope'
import type { Actor } from '../actor'
import { type Action, mayDo, ROLES, type Role } from './role-actions'
import { lookUpLogin } from './sign-in'

export const tankroundAuth = authOptions(lookUpLogin)

/**
 * Who is signed in, or null. Membership, login and session version are read again at every request, so that signing out
 * everywhere and taking a role away work at once.
 */
export const currentActor = cache(async (): Promise<Actor | null> => {
  const session = await getServerSession(tankroundAuth)
  const claims = session?.claims
  if (!claims) return null
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
})

/**
 * The signed-in actor, who may do this. Not signed in: to the sign-in page. Not theirs: 404, for we do not say that it
 * exists.
 */
export async function requireActor(action: Action): Promise<Actor> {
  const actor = await currentActor()
  if (!actor) redirect('/sign-in')
  if (!mayDo(actor.roles, action)) notFound()
  return actor
}
