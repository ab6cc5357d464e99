import 'server-only'
import { createHash, randomBytes } from 'node:crypto'
import { newId } from '@/lib/new-id'
import { asIdentity, type Transaction } from '@/lib/platform/db/scope'

export type LinkPurpose = 'invitation' | 'reset'

/** How long a link is good for, in milliseconds: an invitation a week, a new password a day. */
const LINK_LIFE_MS = { invitation: 7 * 24 * 3_600_000, reset: 24 * 3_600_000 } as const

/** A link that can still be used. */
export type OpenLink = {
  id: string
  email: string
  loginId: string | null
  businessId: string | null
  membershipId: string | null
}

/** A fresh secret for a link; only its hash is ever written down, so it can be shown exactly once. */
export function makeToken(): { token: string; tokenHash: string } {
  const token = randomBytes(32).toString('base64url')
  return { token, tokenHash: hashToken(token) }
}

/** The path of a link under the address of this installation. */
export function linkPath(purpose: LinkPurpose, token: string): string {
  return `/${purpose}/${token}`
}

/**
 * Writes down a link for a new password that no business made; the transaction must be the identity's. Older ones stop
 * working.
 */
export async function writeOperatorLink(
  tx: Transaction,
  { tokenHash, email, loginId }: { tokenHash: string; email: string; loginId: string },
  now: Date,
): Promise<void> {
  await tx.oneTimeLink.deleteMany({ where: { purpose: 'reset', usedAt: null, loginId } })
  const expiresAt = linkEnd('reset', now)
  await tx.oneTimeLink.create({ data: { id: newId(), purpose: 'reset', tokenHash, email, loginId, expiresAt } })
}

/** When a link made now stops working. */
export function linkEnd(purpose: LinkPurpose, now: Date): Date {
  return new Date(now.getTime() + LINK_LIFE_MS[purpose])
}

/** The link behind a token, if it was not used and has not run out; looking does not use it. */
export function findOpenLink(purpose: LinkPurpose, token: string): Promise<OpenLink | null> {
  return asIdentity((tx) =>
    tx.oneTimeLink.findFirst({
      where: { purpose, tokenHash: hashToken(token), usedAt: null, expiresAt: { gt: new Date() } },
      select: { id: true, email: true, loginId: true, businessId: true, membershipId: true },
    }),
  )
}

/**
 * Uses a link up; false when somebody else was quicker or it has run out. The row's lock decides: of two at the same
 * moment one finds it unused.
 */
export async function spendLink(tx: Transaction, id: string): Promise<boolean> {
  const now = new Date()
  const { count } = await tx.oneTimeLink.updateMany({
    where: { id, usedAt: null, expiresAt: { gt: now } },
    data: { usedAt: now },
  })
  return count === 1
}

function hashToken(token: string): string {
  return createHash('sha256').update(token).digest('hex')
}
