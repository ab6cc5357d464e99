import 'server-only'
import type { z } from 'zod'
import type { SessionClaims } from '@/lib/platform/auth/options'
import { hashPassword } from '@/lib/platform/auth/password'
import { asIdentity } from '@/lib/platform/db/scope'
import { done, type Result, refused } from '../result'
import { ROLES, type Role } from './role-actions'
import type { changePasswordSchema } from './schema'
import { provenLogin } from './sign-in'

export type OwnMembership = { membershipId: string; businessId: string; businessName: string; roles: Role[] }

/** A person's own sign-in: the address and every business it opens. */
export function readAccount({ loginId }: SessionClaims): Promise<{ email: string; memberships: OwnMembership[] }> {
  return asIdentity(async (tx) => {
    const { email } = await tx.login.findUniqueOrThrow({ where: { id: loginId }, select: { email: true } })
    const memberships = await tx.membership.findMany({
      where: { loginId, revokedAt: null },
      select: { id: true, businessId: true, roles: true },
      orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
    })
    const businesses = await tx.business.findMany({
      where: { id: { in: memberships.map(({ businessId }) => businessId) } },
      select: { id: true, name: true },
    })
    const nameOf = new Map(businesses.map(({ id, name }) => [id, name]))
    return {
      email,
      memberships: memberships.map(({ id, businessId, roles }) => ({
        membershipId: id,
        businessId,
        businessName: nameOf.get(businessId) ?? '',
        roles: ROLES.filter((role) => roles.includes(role)),
      })),
    }
  })
}

/** The session in another business of the same login; null where it is not theirs or was taken back. */
export function switchTo(claims: SessionClaims, membershipId: string): Promise<SessionClaims | null> {
  return asIdentity(async (tx) => {
    const found = await tx.membership.findFirst({
      where: { id: membershipId, loginId: claims.loginId, revokedAt: null },
      select: { id: true, businessId: true },
    })
    return found ? { ...claims, membershipId: found.id, businessId: found.businessId } : null
  })
}

/**
 * Changes one's own password and signs out every other device; the answer is the session with which this one goes on.
 * Errors: TooManyTries.
 */
export async function changePassword(
  claims: SessionClaims,
  input: z.output<typeof changePasswordSchema>,
  address: string,
): Promise<Result<SessionClaims, 'wrong-password'>> {
  const { email } = await asIdentity((tx) => tx.login.findUniqueOrThrow({ where: { id: claims.loginId } }))
  const proven = await provenLogin({ email, password: input.oldPassword, address })
  if (!proven) return refused('wrong-password', 'This is not your present password.')
  const passwordHash = await hashPassword(input.newPassword)
  const sessionVersion = await raiseSessionVersion(claims.loginId, passwordHash)
  return done({ ...claims, sessionVersion })
}

/** Ends every session of this login, on every device. */
export async function signOutEverywhere({ loginId }: SessionClaims): Promise<void> {
  await raiseSessionVersion(loginId)
}

async function raiseSessionVersion(loginId: string, passwordHash?: string): Promise<number> {
  const login = await asIdentity((tx) =>
    tx.login.update({
      where: { id: loginId },
      data: { sessionVersion: { increment: 1 }, ...(passwordHash ? { passwordHash } : {}) },
    }),
  )
  return login.sessionVersion
}
