import 'server-only'
import type { SessionClaims } from '@/lib/platform/auth/options'
import { hashPassword, verifyPassword } from '@/lib/platform/auth/password'
import { asIdentity } from '@/lib/platform/db/scope'
import { countTry, forgetTries } from './sign-in-limit'

/** A hash to compare with when the e-mail is unknown, so that both answers take the same time. */
let decoy: Promise<string> | undefined

export type Credentials = { email: string; password: string; address: string }

/** A login as it is kept: lower-case e-mail. */
export function normalEmail(email: string): string {
  return email.trim().toLowerCase()
}

/**
 * The login behind an e-mail and a password, or null: unknown, wrong and disabled are one answer.
 * Errors: TooManyTries, whose message says how long to wait.
 */
export async function provenLogin({
  email: typed,
  password,
  address,
}: Credentials): Promise<{ id: string; sessionVersion: number } | null> {
  const email = normalEmail(typed)
  await countTry(email, address)
  const login = await asIdentity((tx) => tx.login.findUnique({ where: { email } }))
  decoy ??= hashPassword('nobody has this password')
  const passwordHash = login?.passwordHash ?? (await decoy)
  const fits = await verifyPassword(passwordHash, password)
  if (!login?.passwordHash || login.disabledAt || !fits) return null
  await forgetTries(email, address)
  return { id: login.id, sessionVersion: login.sessionVersion }
}

/**
 * The membership behind an e-mail and a password, or null. Of several memberships the newest counts; the person can
 * switch afterwards. Errors: TooManyTries.
 */
export async function lookUpLogin(credentials: Credentials): Promise<SessionClaims | null> {
  const login = await provenLogin(credentials)
  if (!login) return null
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
