import 'server-only'
import { keyedHash } from '@/lib/platform/auth/keyed-hash'
import { hashPassword, verifyPassword } from '@/lib/platform/auth/password'
import { asIdentity } from '@/lib/platform/db/scope'
import type { Proven } from './actor-of'
import { keepEvent, sayEvent } from './entry-events'
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
export async function provenLogin(
  { email: typed, password, address }: Credentials,
  now = new Date(),
): Promise<{ id: string; passwordHash: string } | null> {
  const email = normalEmail(typed)
  await countTry({ email, address }, now)
  const login = await asIdentity((tx) => tx.login.findUnique({ where: { email } }))
  decoy ??= hashPassword('nobody has this password')
  const passwordHash = login?.passwordHash ?? (await decoy)
  const fits = await verifyPassword(passwordHash, password)
  if (!login?.passwordHash || login.disabledAt || !fits) {
    const event = { kind: 'sign-in-failed', loginId: login?.id, address, about: keyedHash('account', email) } as const
    // Strangers can make up e-mails without end: what is no login here stands in the log alone.
    if (login) await asIdentity((tx) => keepEvent(tx, event))
    else sayEvent(event)
    return null
  }
  await forgetTries({ email, address }, now)
  return { id: login.id, passwordHash }
}

/**
 * The membership behind an e-mail and a password, or null. Of several memberships the newest counts; the person can
 * switch afterwards. Errors: TooManyTries.
 */
export async function lookUpLogin(credentials: Credentials, now = new Date()): Promise<Proven | null> {
  const login = await provenLogin(credentials, now)
  if (!login) return null
  const membership = await asIdentity((tx) =>
    tx.membership.findFirst({ where: { loginId: login.id, revokedAt: null }, orderBy: { createdAt: 'desc' } }),
  )
  if (!membership) return null
  const { id: membershipId, businessId } = membership
  return { loginId: login.id, membershipId, businessId, passwordHash: login.passwordHash }
}
