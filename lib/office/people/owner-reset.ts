import 'server-only'
import { asIdentity } from '@/lib/platform/db/scope'
import { done, type Result, refused } from '../frame/result'
import { keepEvent } from './entry-events'
import { linkPath, makeToken, writeOperatorLink } from './one-time-links'
import { normalEmail } from './sign-in'

/** A one-time link for an owner, made by whoever has the terminal of this installation. */
export function makeOwnerResetLink(typed: string): Promise<Result<{ path: string }, 'not-an-owner' | 'disabled'>> {
  const email = normalEmail(typed)
  const { token, tokenHash } = makeToken()
  return asIdentity(async (tx) => {
    const login = await tx.login.findUnique({ where: { email } })
    const owns = login && { loginId: login.id, roles: { has: 'owner' }, revokedAt: null }
    if (!login || !owns || (await tx.membership.count({ where: owns })) === 0)
      return refused(
        'not-an-owner',
        `No owner signs in with ${email}. An owner can make links for everybody else on their page under People.`,
      )
    if (login.disabledAt) return refused('disabled', `The sign-in ${email} is switched off.`)
    await writeOperatorLink(tx, { tokenHash, email, loginId: login.id }, new Date())
    await keepEvent(tx, { kind: 'reset-link-made', loginId: login.id, about: 'by the operator' })
    return done({ path: linkPath('reset', token) })
  })
}
