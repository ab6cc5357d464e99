import 'server-only'
import type { SessionClaims } from '@/lib/platform/auth/options'
import { hashPassword, verifyPassword } from '@/lib/platform/auth/password'
import { asIdentity } from '@/lib/platform/db/scope'

/** A hash to compare with when the e-mail is unknown, so that both answers take the same time. */
let decoy: Promise<string> | undefined

/**
 * The membership behind an e-mail and a password, or null. Of several memberships the newest counts; the person can
 * switch afterwards.
 */
export async function lookUpLogin({
  email,
  password,
}: {
  email: string
  password: string
}): Promise<SessionClaims | null> {
  const login = await asIdentity((tx) => tx.login.findUnique({ where: { email: email.trim().toLowerCase() } }))
  decoy ??= hashPassword('nobody has this password')
  const passwordHash = login?.passwordHash ?? (await decoy)
  const fits = await verifyPassword(passwordHash, password)
  if (!login?.passwordHash || login.disabledAt || !fits) return null
  const membership = await asIdentity((tx) =>
    tx.membership.findFirst({ where: { loginId: login.id, revokedAt: null }, orderBy: { createdAt: 'desc' } }),
  )
  if (!membership) return null
  return {
    loginId: login.id,
    membershipId: membership.id,
    businessId: membership.businessId,
    sessionVersion: login.sessionVersion,
  }
}
