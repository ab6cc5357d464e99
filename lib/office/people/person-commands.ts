import 'server-only'
import type { z } from 'zod'
import { takeIdentity, takeScope } from '@/lib/platform/db/scope'
import { type Actor, scopeOf } from '../actor'
import { type CommandContext, runCommand, writeAudit } from '../command'
import { done, type Result, refused } from '../result'
import { ownersBesides } from './owners'
import type { addPersonSchema, editPersonSchema, personSchema } from './schema'

// Names and addresses stay out of command payloads and the audit: forgetting a person must be one act.

const GONE = refused('not-found', 'This person is no longer here. Reload the page.')
const LAST_OWNER = refused('last-owner', 'This is the only owner who can sign in. Make somebody else an owner first.')
const YOURSELF = refused('yourself', 'This is you. Another owner must do it.')

/** Enters somebody who works here or belongs to a client; no sign-in comes with it. */
export function addPerson(
  actor: Actor,
  input: z.output<typeof addPersonSchema>,
): Promise<Result<{ personId: string }>> {
  const { businessId } = actor
  return runCommand(actor, { id: input.commandId, kind: 'people.add', payload: {} }, async (context) => {
    const { tx, commandId: personId } = context
    const { name, isTechnician, dayStart, dayEnd, email, phone, note } = input
    await tx.person.create({ data: { businessId, id: personId, name, isTechnician, dayStart, dayEnd } })
    await tx.personPrivate.create({ data: { businessId, id: personId, personId, email, phone, note } })
    await noteInAudit(context, actor, 'person.added', personId)
    return done({ personId })
  })
}

/** Changes what is known of a person. */
export function editPerson(
  actor: Actor,
  input: z.output<typeof editPersonSchema>,
): Promise<Result<{ personId: string }, 'not-found'>> {
  const { businessId } = actor
  const { personId } = input
  return runCommand(actor, { id: input.commandId, kind: 'people.edit', payload: { personId } }, async (context) => {
    const { tx } = context
    const { name, isTechnician, dayStart, dayEnd, email, phone, note } = input
    const { count } = await tx.person.updateMany({
      where: { businessId, id: personId, mergedIntoId: null },
      data: { name, isTechnician, dayStart, dayEnd },
    })
    if (count === 0) return GONE
    await tx.personPrivate.upsert({
      where: { businessId_personId: { businessId, personId } },
      create: { businessId, id: personId, personId, email, phone, note },
      update: { email, phone, note },
    })
    await noteInAudit(context, actor, 'person.changed', personId)
    return done({ personId })
  })
}

/** Puts a person away: no longer plannable and no longer let in, but all they did stays under their name. */
export function archivePerson(
  actor: Actor,
  input: z.output<typeof personSchema>,
): Promise<Result<{ personId: string }, 'not-found' | 'last-owner' | 'yourself'>> {
  const { personId } = input
  return runCommand(actor, { id: input.commandId, kind: 'people.archive', payload: { personId } }, async (context) => {
    const refusal = await mayGo(context, actor, personId)
    if (refusal) return refusal
    const { tx } = context
    const { businessId } = actor
    const { count } = await tx.person.updateMany({
      where: { businessId, id: personId, archivedAt: null },
      data: { archivedAt: new Date() },
    })
    if (count === 0) return GONE
    await closeAccess(context, actor, personId)
    await noteInAudit(context, actor, 'person.archived', personId)
    return done({ personId })
  })
}

/** Takes a person out of the archive; they are let in again only by a new invitation. */
export function restorePerson(
  actor: Actor,
  input: z.output<typeof personSchema>,
): Promise<Result<{ personId: string }, 'not-found'>> {
  const { personId } = input
  return runCommand(actor, { id: input.commandId, kind: 'people.restore', payload: { personId } }, async (context) => {
    const { count } = await context.tx.person.updateMany({
      where: { businessId: actor.businessId, id: personId, archivedAt: { not: null } },
      data: { archivedAt: null },
    })
    if (count === 0) return GONE
    await noteInAudit(context, actor, 'person.restored', personId)
    return done({ personId })
  })
}

/** What stands instead of the name of somebody who was forgotten. */
export const FORGOTTEN_NAME = 'Forgotten person'

/**
 * Forgets a person: name, addresses and note are blanked, the sign-in goes; what they did stays as facts under no name.
 * A login that also opens another business is left alone there.
 */
export function forgetPerson(
  actor: Actor,
  input: z.output<typeof personSchema>,
): Promise<Result<{ personId: string }, 'not-found' | 'last-owner' | 'yourself'>> {
  const { personId } = input
  return runCommand(actor, { id: input.commandId, kind: 'people.forget', payload: { personId } }, async (context) => {
    const refusal = await mayGo(context, actor, personId)
    if (refusal) return refusal
    const { tx } = context
    const { businessId } = actor
    const { count } = await tx.person.updateMany({
      where: { businessId, id: personId },
      data: { name: FORGOTTEN_NAME, archivedAt: new Date() },
    })
    if (count === 0) return GONE
    await tx.personPrivate.updateMany({ where: { businessId, personId }, data: { email: '', phone: '', note: '' } })
    const loginIds = await closeAccess(context, actor, personId)
    await tx.membership.updateMany({ where: { businessId, personId }, data: { loginId: null } })
    await takeIdentity(tx)
    for (const id of loginIds)
      if ((await tx.membership.count({ where: { loginId: id } })) === 0) {
        await tx.oneTimeLink.deleteMany({ where: { loginId: id } })
        await tx.login.delete({ where: { id } })
      }
    await takeScope(tx, scopeOf(actor))
    await noteInAudit(context, actor, 'person.forgotten', personId)
    return done({ personId })
  })
}

/** Ends every access of a person and the links to it; the logins they had. */
async function closeAccess({ tx }: CommandContext, actor: Actor, personId: string): Promise<string[]> {
  const { businessId } = actor
  const memberships = await tx.membership.findMany({
    where: { businessId, personId },
    select: { id: true, loginId: true },
  })
  await tx.membership.updateMany({ where: { businessId, personId, revokedAt: null }, data: { revokedAt: new Date() } })
  await takeIdentity(tx)
  await tx.oneTimeLink.deleteMany({ where: { businessId, membershipId: { in: memberships.map(({ id }) => id) } } })
  await takeScope(tx, scopeOf(actor))
  return memberships.flatMap(({ loginId }) => loginId ?? [])
}

async function mayGo({ tx }: CommandContext, actor: Actor, personId: string) {
  if (personId === actor.personId) return YOURSELF
  const others = await ownersBesides(tx, actor, { personId })
  const isOwner = await tx.membership.count({
    where: { businessId: actor.businessId, personId, roles: { has: 'owner' }, revokedAt: null, loginId: { not: null } },
  })
  if (isOwner > 0 && others === 0) return LAST_OWNER
  return null
}

function noteInAudit(context: CommandContext, actor: Actor, action: string, personId: string): Promise<void> {
  return writeAudit(context, actor, { id: context.commandId, action, entity: 'person', entityId: personId })
}
