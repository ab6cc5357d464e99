import 'server-only'
import type { z } from 'zod'
import { hashPassword } from '@/lib/platform/auth/password'
import { passwordWeakness } from '@/lib/platform/auth/password-strength'
import { asIdentity } from '@/lib/platform/db/scope'
import { done, type Result, refused } from '../frame/result'
import { ROLES, type Role } from '../frame/role-actions'
import type { Proven } from './actor-of'
import { keepEvent } from './entry-events'
import type { changePasswordSchema } from './schema'
import { endAllSessions, type Session } from './sessions'
import { provenLogin } from './sign-in'

const NOT_PRESENT = 'This is not your present password.'

export type OwnMembership = { membershipId: string; businessId: string; businessName: string; roles: Role[] }

/** A person's own sign-in: the address and every business it opens. */
export function readAccount({
  loginId,
}: {
  loginId: string
}): Promise<{ email: string; memberships: OwnMembership[] }> {
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

/** Goes on in another business of the same login, with the same session; false where it is not theirs or was taken back. */
export function switchTo(session: Session, membershipId: string): Promise<boolean> {
  return asIdentity(async (tx) => {
    const { sessionId, loginId } = session
    const found = await tx.membership.findFirst({
      where: { id: membershipId, loginId, revokedAt: null },
      select: { id: true, businessId: true },
    })
    if (!found) return false
    const { businessId } = found
    const to = { membershipId: found.id, businessId }
    const { count } = await tx.session.updateMany({ where: { id: sessionId, loginId, endedAt: null }, data: to })
    if (count > 0) await keepEvent(tx, { kind: 'business-switched', loginId, sessionId, ...to })
    return count > 0
  })
}

/**
 * Changes one's own password and ends every session; the answer is who goes on here, with a new one.
 * Errors: TooManyTries.
 */
export async function changePassword(
  { loginId, membershipId, businessId }: Proven,
  input: z.output<typeof changePasswordSchema>,
  address: string,
  now = new Date(),
): Promise<Result<Proven, 'wrong-password' | 'weak-password'>> {
  const { email } = await asIdentity((tx) => tx.login.findUniqueOrThrow({ where: { id: loginId } }))
  const proven = await provenLogin({ email, password: input.oldPassword, address }, now)
  if (!proven) return refused('wrong-password', NOT_PRESENT)
  const weakness = passwordWeakness(input.newPassword, [email])
  if (weakness) return refused('weak-password', weakness)
  const passwordHash = await hashPassword(input.newPassword)
  const changed = await asIdentity(async (tx) => {
    // Only while the old password is the one that was proved: another change may have come in between.
    const where = { id: loginId, passwordHash: proven.passwordHash }
    const { count } = await tx.login.updateMany({ where, data: { passwordHash } })
    if (count === 0) return false
    await keepEvent(tx, { kind: 'password-changed', loginId, address })
    await endAllSessions(tx, loginId, now)
    // A link asked for before must not undo what was just decided.
    await tx.oneTimeLink.deleteMany({ where: { purpose: 'reset', usedAt: null, loginId } })
    return true
  })
  if (!changed) return refused('wrong-password', NOT_PRESENT)
  return done({ loginId, membershipId, businessId, passwordHash })
}

/** Ends every session of this login, on every device. */
export function signOutEverywhere({ loginId }: Session, now = new Date()): Promise<void> {
  return asIdentity((tx) => endAllSessions(tx, loginId, now))
}
