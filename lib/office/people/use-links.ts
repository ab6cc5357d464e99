import 'server-only'
import { newId } from '@/lib/new-id'
import { hashPassword } from '@/lib/platform/auth/password'
import { passwordWeakness } from '@/lib/platform/auth/password-strength'
import { asIdentity, type Transaction } from '@/lib/platform/db/scope'
import { done, type Result, refused } from '../frame/result'
import type { Proven } from './actor-of'
import { keepEvent } from './entry-events'
import { findOpenLink, type OpenLink, spendLink } from './one-time-links'
import { newPassword } from './schema'
import { endAllSessions } from './sessions'
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
}): Promise<Result<Proven, 'spent' | 'wrong-password' | 'weak-password' | 'email-taken'>> {
  const link = await findOpenLink('invitation', input.token)
  const { businessId, membershipId } = link ?? {}
  if (!link || !businessId || !membershipId) return SPENT
  const { email } = link
  const known = await asIdentity((tx) => tx.login.findUnique({ where: { email }, select: { id: true } }))
  const proven = known ? await provenLogin({ email, password: input.password, address: input.address }) : null
  if (known && !proven) return refused('wrong-password', 'This is not the password of that e-mail address.')
  const weakness = known ? null : newPasswordWeakness(input.password, email)
  if (weakness) return refused('weak-password', weakness)
  const passwordHash = known ? null : await hashPassword(input.password)
  return unlessQuicker(() =>
    asIdentity(async (tx) => {
      if (!(await spendLink(tx, link.id))) return SPENT
      const login = proven ?? (await makeLogin(tx, email, passwordHash))
      const hashNow = await lockLogin(tx, login.id)
      if (proven && proven.passwordHash !== hashNow) throw new WasQuicker()
      // Two ways in for one sign-in: taking one back would leave the other open.
      const here = await tx.membership.findFirst({ where: { businessId, loginId: login.id, revokedAt: null } })
      if (here) return refused('email-taken', 'Somebody here already signs in with this e-mail address.')
      const { count } = await tx.membership.updateMany({
        where: { businessId, id: membershipId, loginId: null, revokedAt: null },
        data: { loginId: login.id },
      })
      if (count === 0) throw new WasQuicker()
      // What an owner elsewhere may have kept: from now on this sign-in opens more than their business.
      await tx.oneTimeLink.deleteMany({
        where: { purpose: 'reset', loginId: login.id, usedAt: null, businessId: { not: null } },
      })
      const joined = { loginId: login.id, membershipId, businessId }
      await keepEvent(tx, { kind: 'invitation-accepted', ...joined, address: input.address })
      return done(proven ? { ...joined, passwordHash: proven.passwordHash } : joined)
    }),
  )
}

/** The e-mail address for which a link sets a new password, or null when the link is no longer good. */
export async function readReset(token: string): Promise<{ email: string } | null> {
  const link = await findOpenLink('reset', token)
  const holds = link && (await asIdentity((tx) => stillOneBusiness(tx, link)))
  return link?.loginId && holds ? { email: link.email } : null
}

/**
 * Sets a new password by a one-time link and signs the person out everywhere. Somebody put out stays out, and a link made
 * by an owner is held against what that owner may do now, not when it was made.
 */
export async function resetPassword(
  input: { token: string; password: string; address: string },
  now = new Date(),
): Promise<Result<{ email: string }, 'spent' | 'weak-password'>> {
  const link = await findOpenLink('reset', input.token)
  const loginId = link?.loginId
  if (!link || !loginId) return SPENT
  const weakness = newPasswordWeakness(input.password, link.email)
  if (weakness) return refused('weak-password', weakness)
  const passwordHash = await hashPassword(input.password)
  return unlessQuicker(() =>
    asIdentity(async (tx) => {
      await lockLogin(tx, loginId)
      if (!(await stillOneBusiness(tx, link))) {
        await keepEvent(tx, { kind: 'link-refused', loginId, address: input.address, about: 'reset' })
        return SPENT
      }
      if (!(await spendLink(tx, link.id))) return SPENT
      const { count } = await tx.login.updateMany({ where: { id: loginId, disabledAt: null }, data: { passwordHash } })
      if (count === 0) throw new WasQuicker()
      await keepEvent(tx, { kind: 'password-reset', loginId, address: input.address })
      await endAllSessions(tx, loginId, now)
      return done({ email: link.email })
    }),
  )
}

/**
 * Whether a link for a new password may still do its work: one that the operator made always; one that a business made
 * while the person still belongs to it and the sign-in opens no other.
 */
async function stillOneBusiness(tx: Transaction, { loginId, businessId }: OpenLink): Promise<boolean> {
  if (!businessId) return true
  const open = await tx.membership.findMany({ where: { loginId, revokedAt: null }, select: { businessId: true } })
  return open.length > 0 && open.every((membership) => membership.businessId === businessId)
}

/** Joining a business and setting a password by a link wait for each other. The hash of the password that holds now. */
async function lockLogin(tx: Transaction, id: string): Promise<string | null> {
  const [login] = await tx.$queryRaw<{ passwordHash: string | null }[]>`
    SELECT password_hash AS "passwordHash" FROM identity.login WHERE id = ${id}::uuid FOR UPDATE`
  return login?.passwordHash ?? null
}

function newPasswordWeakness(password: string, email: string): string | null {
  const length = newPassword.safeParse(password)
  if (!length.success) return length.error.issues[0]?.message ?? ''
  return passwordWeakness(password, [email])
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
