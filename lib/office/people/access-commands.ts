import 'server-only'
import { newId } from '@/lib/new-id'
import { endAccess, signsInHere, writeInvitation, writeResetLink } from '@/lib/platform/db/identity-calls'
import { type CommandContext, defineCommand } from '../frame/command'
import { done, refused } from '../frame/result'
import type { Role } from '../frame/role-actions'
import { linkEnd, linkPath, makeToken } from './one-time-links'
import { ownersBesides } from './owners'
import { changeRolesSchema, inviteSchema, membershipSchema } from './schema'

/** A link is shown once: `path` is null when the same command comes again. */
type LinkShownOnce = { membershipId: string; path: string | null }

const NOT_FOUND = refused('not-found', 'This person is no longer here. Reload the page.')

/**
 * Invites a person to sign in, in a set of roles or as somebody of one client. Inviting again makes a new link; the one
 * before stops working. The token is never written down, not even in the command's own answer.
 */
export const invitePerson = defineCommand(
  { kind: 'people.invite', may: 'people.change', schema: inviteSchema },
  async (context, input) => {
    const { tx, actor, commandId } = context
    const { businessId } = actor
    const { personId, roles, clientId, email } = input
    const { token, tokenHash } = makeToken()
    const person = await tx.person.findFirst({
      where: { businessId, id: personId, archivedAt: null, mergedIntoId: null },
    })
    if (!person) return NOT_FOUND
    if (clientId && !(await isOpenClient(context, clientId)))
      return refused('no-client', 'This client is no longer here. Choose another one.')
    const present = await tx.membership.findFirst({ where: { businessId, personId, revokedAt: null } })
    if (present?.loginId)
      return refused('already-signs-in', `${person.name} can already sign in. Change their roles instead.`)
    if (await signsInHere(tx, email))
      return refused('email-taken', 'Somebody else here already signs in with this e-mail address.')
    const membershipId = present?.id ?? commandId
    if (present)
      await tx.membership.update({
        where: { businessId_id: { businessId, id: present.id } },
        data: { roles, clientId },
      })
    else await tx.membership.create({ data: { businessId, id: membershipId, personId, roles, clientId } })
    await followRound(context, personId, roles)
    const expiresAt = linkEnd('invitation', new Date())
    if (!(await writeInvitation(tx, { id: newId(), tokenHash, email, membershipId, expiresAt }))) return NOT_FOUND
    await context.audit('membership', membershipId, 'access.invited', undefined, { roles, clientId })
    return { ...done<LinkShownOnce>({ membershipId, path: null }), once: { path: linkPath('invitation', token) } }
  },
)

/** Changes what somebody may do here; holds from their next click. */
export const changeRoles = defineCommand(
  { kind: 'people.change-roles', may: 'people.change', schema: changeRolesSchema },
  async (context, input) => {
    const { tx, actor } = context
    const { businessId } = actor
    const { membershipId, roles, clientId } = input
    if (clientId && !(await isOpenClient(context, clientId)))
      return refused('no-client', 'This client is no longer here. Choose another one.')
    const others = await ownersBesides(tx, actor, { membershipId })
    const present = await tx.membership.findFirst({ where: { businessId, id: membershipId, revokedAt: null } })
    if (!present) return NOT_FOUND
    if (isSigningOwner(present) && !roles.includes('owner') && others === 0) return LAST_OWNER
    await tx.membership.update({
      where: { businessId_id: { businessId, id: membershipId } },
      data: { roles, clientId },
    })
    await followRound(context, present.personId, roles)
    const before = { roles: present.roles, clientId: present.clientId }
    await context.audit('membership', membershipId, 'access.changed', before, { roles, clientId })
    return done({ membershipId })
  },
)

const LAST_OWNER = refused('last-owner', 'This is the only owner who can sign in. Make somebody else an owner first.')

/** Takes an access or an invitation back; holds from the person's next click. */
export const revokeAccess = defineCommand(
  { kind: 'people.revoke', may: 'people.change', schema: membershipSchema },
  async (context, input) => {
    const { tx, actor } = context
    const { businessId } = actor
    const { membershipId } = input
    const others = await ownersBesides(tx, actor, { membershipId })
    const present = await tx.membership.findFirst({ where: { businessId, id: membershipId, revokedAt: null } })
    if (!present) return NOT_FOUND
    if (isSigningOwner(present) && others === 0) return LAST_OWNER
    await tx.membership.update({
      where: { businessId_id: { businessId, id: membershipId } },
      data: { revokedAt: new Date() },
    })
    await endAccess(tx, [membershipId])
    await context.audit('membership', membershipId, 'access.revoked', undefined, undefined)
    return done({ membershipId })
  },
)

/**
 * Makes a one-time link with which somebody of this business sets a new password. Refused where their sign-in opens
 * another business too: its people have not agreed that this owner may let anybody in there.
 */
export const makeResetLink = defineCommand(
  { kind: 'people.reset-link', may: 'people.change', schema: membershipSchema },
  async (context, input) => {
    const { tx, actor } = context
    const { businessId } = actor
    const { membershipId } = input
    const { token, tokenHash } = makeToken()
    const present = await tx.membership.findFirst({ where: { businessId, id: membershipId, revokedAt: null } })
    if (!present?.loginId) return NOT_FOUND
    const expiresAt = linkEnd('reset', new Date())
    const outcome = await writeResetLink(tx, { id: newId(), tokenHash, membershipId, expiresAt })
    if (outcome === 'not-found') return NOT_FOUND
    if (outcome === 'elsewhere-too')
      return refused(
        'elsewhere-too',
        'This sign-in opens another business too, so only whoever runs this installation can make a link for it.',
      )
    await context.audit('membership', membershipId, 'access.reset-link', undefined, undefined)
    return { ...done<LinkShownOnce>({ membershipId, path: null }), once: { path: linkPath('reset', token) } }
  },
)

function isSigningOwner(membership: { roles: string[]; loginId: string | null }): boolean {
  return membership.loginId !== null && membership.roles.includes('owner')
}

async function isOpenClient({ tx, actor: { businessId } }: CommandContext, id: string): Promise<boolean> {
  return (await tx.client.count({ where: { businessId, id, archivedAt: null, mergedIntoId: null } })) > 0
}

/** Whoever gets the technician's role goes on the round; losing it changes nothing of their past or planned visits. */
async function followRound({ tx, actor: { businessId } }: CommandContext, id: string, roles: Role[]): Promise<void> {
  if (roles.includes('technician'))
    await tx.person.updateMany({ where: { businessId, id }, data: { isTechnician: true } })
}
