import 'server-only'
import type { Transaction } from './scope'

// What an office transaction may ask of the logins: functions of the schema `identity`, which confine themselves to the
// business of the transaction. It has no other way there.

/** Whether somebody of this business signs in with this e-mail address already. */
export async function signsInHere(tx: Transaction, email: string): Promise<boolean> {
  const [row] = await tx.$queryRaw<{ found: boolean }[]>`SELECT identity.signs_in_here(${email}) AS found`
  return row?.found ?? false
}

/** A link as it is written down: of its token only the hash. */
export type LinkRow = { id: string; tokenHash: string; membershipId: string; expiresAt: Date }

/** Writes an invitation to an open membership of this business; false where there is none. Earlier ones stop working. */
export async function writeInvitation(tx: Transaction, link: LinkRow & { email: string }): Promise<boolean> {
  const { id, tokenHash, email, membershipId, expiresAt } = link
  const [row] = await tx.$queryRaw<{ written: boolean }[]>`
    SELECT identity.write_invitation(${id}::uuid, ${tokenHash}, ${email}, ${membershipId}::uuid, ${expiresAt}::timestamptz) AS written`
  return row?.written ?? false
}

/** Writes a link for a new password; refused where the sign-in opens another business too. Earlier ones stop working. */
export async function writeResetLink(
  tx: Transaction,
  { id, tokenHash, membershipId, expiresAt }: LinkRow,
): Promise<'written' | 'not-found' | 'elsewhere-too'> {
  const [row] = await tx.$queryRaw<{ outcome: 'written' | 'not-found' | 'elsewhere-too' }[]>`
    SELECT identity.write_reset_link(${id}::uuid, ${tokenHash}, ${membershipId}::uuid, ${expiresAt}::timestamptz) AS outcome`
  return row?.outcome ?? 'not-found'
}

/** Ends the links to these memberships of this business, and their sessions. */
export async function endAccess(tx: Transaction, membershipIds: readonly string[]): Promise<void> {
  await tx.$queryRaw`SELECT identity.end_access(${membershipIds}::uuid[])::text AS ended`
}

/** Parts a person of this business from their login; one that then opens nothing is deleted with its links and sessions. */
export async function forgetLoginsOf(tx: Transaction, personId: string): Promise<void> {
  await tx.$queryRaw`SELECT identity.forget_logins_of(${personId}::uuid)::text AS forgotten`
}

/** How people get in: the address they sign in with, or the invitation that is out. */
export type AccessRow = {
  membershipId: string
  email: string | null
  invitedEmail: string | null
  invitedUntil: Date | null
}

/** The access of these memberships, as far as they are of this business. */
export function accessOf(tx: Transaction, membershipIds: readonly string[]): Promise<AccessRow[]> {
  return tx.$queryRaw<AccessRow[]>`
    SELECT membership_id AS "membershipId", email, invited_email AS "invitedEmail", invited_until AS "invitedUntil"
      FROM identity.access_of(${membershipIds}::uuid[])`
}

/** Makes the login of the very first owner; false where a business is here already. Two at once wait for each other. */
export async function makeFirstLogin(
  tx: Transaction,
  login: { id: string; email: string; passwordHash: string },
): Promise<boolean> {
  const [row] = await tx.$queryRaw<{ made: boolean }[]>`
    SELECT identity.make_first_login(${login.id}::uuid, ${login.email}, ${login.passwordHash}) AS made`
  return row?.made ?? false
}
