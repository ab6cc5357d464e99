import 'server-only'
import { newId } from '@/lib/new-id'
import type { SessionClaims } from '@/lib/platform/auth/options'
import { hashPassword } from '@/lib/platform/auth/password'
import { asIdentity, type Transaction } from '@/lib/platform/db/scope'
import { done, type Result, refused } from '../result'
import { findOpenLink, spendLink } from './one-time-links'
import { newPassword } from './schema'
import { provenLogin } from './sign-in'

const SPENT = refused(
  'spent',
  'This link was already used, was taken back or has run out. Ask the owner of the business for a new one.',
)

/** Rolls a transaction back when, inside it, somebody else turns out to have been quicker. */
class WasQuicker extends Error {}

/** What the page of an invitation shows: who invites, which address, and whether that address can sign in already. */
export async function readInvitation(
  token: string,
): Promise<{ businessName: string; personName: string; email: string; hasLogin: boolean } | null> {
  const link = await findOpenLink('invitation', token)
  const { businessId, membershipId } = link ?? {}
  if (!link || !businessId || !membershipId) return null
  return asIdentity(async (tx) => {
    const membership = await openMembership(tx, businessId, membershipId)
    if (!membership) return null
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { name: true } })
    const person = await tx.person.findUniqueOrThrow({
      where: { businessId_id: { businessId, id: membership.personId } },
      select: { name: true },
    })
    const login = await tx.login.findUnique({ where: { email: link.email }, select: { id: true } })
    return { businessName: business.name, personName: person.name, email: link.email, hasLogin: login !== null }
  })
}

/**
 * Accepts an invitation, once: a new login gets this password; a login that exists must prove itself with its own.
 * Errors: TooManyTries.
 */
export async function acceptInvitation(input: {
  token: string
  password: string
  address: string
}): Promise<Result<SessionClaims, 'spent' | 'wrong-password' | 'weak-password'>> {
  const link = await findOpenLink('invitation', input.token)
  const { businessId, membershipId } = link ?? {}
  if (!link || !businessId || !membershipId) return SPENT
  const { email } = link
  const known = await asIdentity((tx) => tx.login.findUnique({ where: { email }, select: { id: true } }))
  const proven = known ? await provenLogin({ email, password: input.password, address: input.address }) : null
  if (known && !proven) return refused('wrong-password', 'This is not the password of that e-mail address.')
  const strength = newPassword.safeParse(input.password)
  if (!known && !strength.success) return refused('weak-password', strength.error.issues[0]?.message ?? '')
  const passwordHash = known ? null : await hashPassword(input.password)
  return unlessQuicker(() =>
    asIdentity(async (tx) => {
      if (!(await spendLink(tx, link.id))) return SPENT
      const login = proven ?? (await makeLogin(tx, email, passwordHash))
      const { count } = await tx.membership.updateMany({
        where: { businessId, id: membershipId, loginId: null, revokedAt: null },
        data: { loginId: login.id },
      })
      if (count === 0) throw new WasQuicker()
      return done({ loginId: login.id, membershipId, businessId, sessionVersion: login.sessionVersion })
    }),
  )
}

/** The e-mail address for which a link sets a new password, or null when the link is no longer good. */
export async function readReset(token: string): Promise<{ email: string } | null> {
  const link = await findOpenLink('reset', token)
  return link?.loginId ? { email: link.email } : null
}

/** Sets a new password by a one-time link and signs the person out everywhere. Somebody put out stays out. */
export async function resetPassword(input: {
  token: string
  password: string
}): Promise<Result<{ email: string }, 'spent'>> {
  const link = await findOpenLink('reset', input.token)
  const loginId = link?.loginId
  if (!link || !loginId) return SPENT
  const passwordHash = await hashPassword(input.password)
  return unlessQuicker(() =>
    asIdentity(async (tx) => {
      if (!(await spendLink(tx, link.id))) return SPENT
      const { count } = await tx.login.updateMany({
        where: { id: loginId, disabledAt: null },
        data: { passwordHash, sessionVersion: { increment: 1 } },
      })
      if (count === 0) throw new WasQuicker()
      return done({ email: link.email })
    }),
  )
}

async function makeLogin(tx: Transaction, email: string, passwordHash: string | null) {
  const { count } = await tx.login.createMany({ data: [{ id: newId(), email, passwordHash }], skipDuplicates: true })
  // Made by somebody else since we looked: then its password must be asked for.
  if (count === 0) throw new WasQuicker()
  return tx.login.findUniqueOrThrow({ where: { email } })
}

function openMembership(tx: Transaction, businessId: string, id: string) {
  return tx.membership.findFirst({ where: { businessId, id, loginId: null, revokedAt: null } })
}

async function unlessQuicker<T>(work: () => Promise<T>): Promise<T | typeof SPENT> {
  try {
    return await work()
  } catch (error) {
    if (error instanceof WasQuicker) return SPENT
    throw error
  }
}
