import 'server-only'
import type { z } from 'zod'
import { takeIdentity, takeScope } from '@/lib/platform/db/scope'
import { type Actor, scopeOf } from '../actor'
import { type CommandContext, runCommand, writeAudit } from '../command'
import { done, type Result, refused } from '../result'
import { linkPath, makeToken, writeLink } from './one-time-links'
import { ownersBesides } from './owners'
import type { Role } from './role-actions'
import type { changeRolesSchema, inviteSchema, membershipSchema } from './schema'

/** `path` is null when the same command came again: a link is shown once. */
export type LinkShownOnce = { membershipId: string; path: string | null }

const NOT_FOUND = refused('not-found', 'This person is no longer here. Reload the page.')

/**
 * Invites a person to sign in, in a set of roles or as somebody of one client. Inviting again makes a new link; the one
 * before stops working. The token is never written down, not even in the command's own answer.
 */
export async function invitePerson(
  actor: Actor,
  input: z.output<typeof inviteSchema>,
): Promise<Result<LinkShownOnce, 'not-found' | 'already-signs-in' | 'email-taken' | 'no-client'>> {
  const { businessId } = actor
  const { personId, roles, clientId, email } = input
  const { token, tokenHash } = makeToken()
  let written = false
  const payload = { personId, roles, clientId }
  const envelope = { id: input.commandId, kind: 'people.invite', payload }
  const result = await runCommand(actor, envelope, async (context) => {
    const { tx, commandId } = context
    const person = await tx.person.findFirst({
      where: { businessId, id: personId, archivedAt: null, mergedIntoId: null },
    })
    if (!person) return NOT_FOUND
    if (clientId && !(await isOpenClient(context, actor, clientId)))
      return refused('no-client', 'This client is no longer here. Choose another one.')
    const present = await tx.membership.findFirst({ where: { businessId, personId, revokedAt: null } })
    if (present?.loginId)
      return refused('already-signs-in', `${person.name} can already sign in. Change their roles instead.`)
    if (await signsInHere(context, actor, email))
      return refused('email-taken', 'Somebody else here already signs in with this e-mail address.')
    const membershipId = present?.id ?? commandId
    if (present)
      await tx.membership.update({
        where: { businessId_id: { businessId, id: present.id } },
        data: { roles, clientId },
      })
    else await tx.membership.create({ data: { businessId, id: membershipId, personId, roles, clientId } })
    await followRound(context, actor, personId, roles)
    await asIdentityFor(context, actor, () =>
      writeLink(tx, { purpose: 'invitation', tokenHash, email, businessId, membershipId }),
    )
    await writeAudit(context, actor, auditOf(context, 'access.invited', membershipId, { roles, clientId }))
    written = true
    return done({ membershipId })
  })
  if (!result.ok) return result
  return done({ ...result.value, path: written ? linkPath('invitation', token) : null })
}

/** Changes what somebody may do here; holds from their next click. */
export function changeRoles(
  actor: Actor,
  input: z.output<typeof changeRolesSchema>,
): Promise<Result<{ membershipId: string }, 'not-found' | 'last-owner' | 'no-client'>> {
  const { businessId } = actor
  const { membershipId, roles, clientId } = input
  const envelope = { id: input.commandId, kind: 'people.change-roles', payload: { membershipId, roles, clientId } }
  return runCommand(actor, envelope, async (context) => {
    const { tx } = context
    if (clientId && !(await isOpenClient(context, actor, clientId)))
      return refused('no-client', 'This client is no longer here. Choose another one.')
    const others = await ownersBesides(tx, actor, { membershipId })
    const present = await tx.membership.findFirst({ where: { businessId, id: membershipId, revokedAt: null } })
    if (!present) return NOT_FOUND
    if (isSigningOwner(present) && !roles.includes('owner') && others === 0) return LAST_OWNER
    await tx.membership.update({
      where: { businessId_id: { businessId, id: membershipId } },
      data: { roles, clientId },
    })
    await followRound(context, actor, present.personId, roles)
    const before = { roles: present.roles, clientId: present.clientId }
    await writeAudit(context, actor, {
      ...auditOf(context, 'access.changed', membershipId, { roles, clientId }),
      before,
    })
    return done({ membershipId })
  })
}

const LAST_OWNER = refused('last-owner', 'This is the only owner who can sign in. Make somebody else an owner first.')

/** Takes an access or an invitation back; holds from the person's next click. */
export function revokeAccess(
  actor: Actor,
  input: z.output<typeof membershipSchema>,
): Promise<Result<{ membershipId: string }, 'not-found' | 'last-owner'>> {
  const { businessId } = actor
  const { membershipId } = input
  return runCommand(
    actor,
    { id: input.commandId, kind: 'people.revoke', payload: { membershipId } },
    async (context) => {
      const { tx } = context
      const others = await ownersBesides(tx, actor, { membershipId })
      const present = await tx.membership.findFirst({ where: { businessId, id: membershipId, revokedAt: null } })
      if (!present) return NOT_FOUND
      if (isSigningOwner(present) && others === 0) return LAST_OWNER
      await tx.membership.update({
        where: { businessId_id: { businessId, id: membershipId } },
        data: { revokedAt: new Date() },
      })
      await asIdentityFor(context, actor, () => tx.oneTimeLink.deleteMany({ where: { businessId, membershipId } }))
      await writeAudit(context, actor, auditOf(context, 'access.revoked', membershipId))
      return done({ membershipId })
    },
  )
}

/**
 * Makes a one-time link with which somebody of this business sets a new password. Refused where their sign-in opens
 * another business too: its people have not agreed that this owner may let anybody in there.
 */
export async function makeResetLink(
  actor: Actor,
  input: z.output<typeof membershipSchema>,
): Promise<Result<LinkShownOnce, 'not-found' | 'elsewhere-too'>> {
  const { businessId } = actor
  const { membershipId } = input
  const { token, tokenHash } = makeToken()
  let written = false
  const envelope = { id: input.commandId, kind: 'people.reset-link', payload: { membershipId } }
  const result = await runCommand(actor, envelope, async (context) => {
    const { tx } = context
    const present = await tx.membership.findFirst({ where: { businessId, id: membershipId, revokedAt: null } })
    const loginId = present?.loginId
    if (!loginId) return NOT_FOUND
    const refusal = await asIdentityFor(context, actor, async () => {
      const elsewhere = { loginId, revokedAt: null, businessId: { not: businessId } }
      if ((await tx.membership.count({ where: elsewhere })) > 0)
        return refused(
          'elsewhere-too',
          'This sign-in opens another business too, so only whoever runs this installation can make a link for it.',
        )
      const login = await tx.login.findUniqueOrThrow({ where: { id: loginId } })
      await writeLink(tx, { purpose: 'reset', tokenHash, email: login.email, loginId, businessId, membershipId })
      return null
    })
    if (refusal) return refusal
    await writeAudit(context, actor, auditOf(context, 'access.reset-link', membershipId))
    written = true
    return done({ membershipId })
  })
  if (!result.ok) return result
  return done({ ...result.value, path: written ? linkPath('reset', token) : null })
}

function isSigningOwner(membership: { roles: string[]; loginId: string | null }): boolean {
  return membership.loginId !== null && membership.roles.includes('owner')
}

async function isOpenClient({ tx }: CommandContext, { businessId }: Actor, id: string): Promise<boolean> {
  return (await tx.client.count({ where: { businessId, id, archivedAt: null, mergedIntoId: null } })) > 0
}

/** Whoever gets the technician's role goes on the round; losing it changes nothing of their past or planned visits. */
async function followRound({ tx }: CommandContext, { businessId }: Actor, id: string, roles: Role[]): Promise<void> {
  if (roles.includes('technician'))
    await tx.person.updateMany({ where: { businessId, id }, data: { isTechnician: true } })
}

function signsInHere(context: CommandContext, actor: Actor, email: string): Promise<boolean> {
  const { tx } = context
  return asIdentityFor(context, actor, async () => {
    const login = await tx.login.findUnique({ where: { email }, select: { id: true } })
    if (!login) return false
    const here = { businessId: actor.businessId, loginId: login.id, revokedAt: null }
    return (await tx.membership.count({ where: here })) > 0
  })
}

/** Does something as the identity role in the middle of a command, and goes back to the business. */
async function asIdentityFor<T>({ tx }: CommandContext, actor: Actor, work: () => Promise<T>): Promise<T> {
  await takeIdentity(tx)
  const value = await work()
  await takeScope(tx, scopeOf(actor))
  return value
}

function auditOf(
  context: CommandContext,
  action: string,
  entityId: string,
  after?: { roles: string[]; clientId: string | null },
) {
  return { id: context.commandId, action, entity: 'membership', entityId, ...(after ? { after } : {}) }
}
