import 'server-only'
import { endAccess, forgetLoginsOf } from '@/lib/platform/db/identity-calls'
import { type CommandContext, defineCommand } from '../frame/command'
import { done, refused } from '../frame/result'
import { ownersBesides } from './owners'
import { addPersonSchema, editPersonSchema, personSchema } from './schema'

const GONE = refused('not-found', 'This person is no longer here. Reload the page.')
const LAST_OWNER = refused('last-owner', 'This is the only owner who can sign in. Make somebody else an owner first.')
const YOURSELF = refused('yourself', 'This is you. Another owner must do it.')

/** Enters somebody who works here or belongs to a client; no sign-in comes with it. */
export const addPerson = defineCommand(
  { kind: 'people.add', may: 'people.change', schema: addPersonSchema },
  async (context, input) => {
    const { tx, actor, commandId: personId } = context
    const { businessId } = actor
    const { name, isTechnician, dayStart, dayEnd, email, phone, note } = input
    await tx.person.create({ data: { businessId, id: personId, name, isTechnician, dayStart, dayEnd } })
    await tx.personPrivate.create({ data: { businessId, id: personId, personId, email, phone, note } })
    await context.audit('person', personId, 'person.added', undefined, undefined)
    return done({ personId })
  },
)

/** Changes what is known of a person. */
export const editPerson = defineCommand(
  { kind: 'people.edit', may: 'people.change', schema: editPersonSchema },
  async (context, input) => {
    const { tx, actor } = context
    const { businessId } = actor
    const { personId } = input
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
    await context.audit('person', personId, 'person.changed', undefined, undefined)
    return done({ personId })
  },
)

/** Puts a person away: no longer plannable and no longer let in, but all they did stays under their name. */
export const archivePerson = defineCommand(
  { kind: 'people.archive', may: 'people.change', schema: personSchema },
  async (context, input) => {
    const { tx, actor } = context
    const { personId } = input
    const refusal = await removalRefusal(context, personId)
    if (refusal) return refusal
    const { businessId } = actor
    const { count } = await tx.person.updateMany({
      where: { businessId, id: personId, archivedAt: null },
      data: { archivedAt: new Date() },
    })
    if (count === 0) return GONE
    await closeAccess(context, personId)
    await context.audit('person', personId, 'person.archived', undefined, undefined)
    return done({ personId })
  },
)

/** Takes a person out of the archive; they are let in again only by a new invitation. */
export const restorePerson = defineCommand(
  { kind: 'people.restore', may: 'people.change', schema: personSchema },
  async (context, input) => {
    const { actor } = context
    const { personId } = input
    const { count } = await context.tx.person.updateMany({
      where: { businessId: actor.businessId, id: personId, archivedAt: { not: null } },
      data: { archivedAt: null },
    })
    if (count === 0) return GONE
    await context.audit('person', personId, 'person.restored', undefined, undefined)
    return done({ personId })
  },
)

/** What stands instead of the name of somebody who was forgotten. */
export const FORGOTTEN_NAME = 'Forgotten person'

/**
 * Forgets a person: name, addresses and note are blanked, the sign-in goes; what they did stays as facts under no name.
 * A login that also opens another business is left alone there.
 */
export const forgetPerson = defineCommand(
  { kind: 'people.forget', may: 'people.change', schema: personSchema },
  async (context, input) => {
    const { tx, actor } = context
    const { personId } = input
    const refusal = await removalRefusal(context, personId)
    if (refusal) return refusal
    const { businessId } = actor
    const { count } = await tx.person.updateMany({
      where: { businessId, id: personId },
      data: { name: FORGOTTEN_NAME, archivedAt: new Date() },
    })
    if (count === 0) return GONE
    await tx.personPrivate.updateMany({ where: { businessId, personId }, data: { email: '', phone: '', note: '' } })
    await closeAccess(context, personId)
    await forgetLoginsOf(tx, personId)
    await context.audit('person', personId, 'person.forgotten', undefined, undefined)
    return done({ personId })
  },
)

/** Ends every access of a person, the links to it and the sessions in it. */
async function closeAccess({ tx, actor: { businessId } }: CommandContext, personId: string): Promise<void> {
  const memberships = await tx.membership.findMany({
    where: { businessId, personId },
    select: { id: true },
  })
  await tx.membership.updateMany({ where: { businessId, personId, revokedAt: null }, data: { revokedAt: new Date() } })
  await endAccess(
    tx,
    memberships.map(({ id }) => id),
  )
}

async function removalRefusal({ tx, actor }: CommandContext, personId: string) {
  if (personId === actor.personId) return YOURSELF
  const others = await ownersBesides(tx, actor, { personId })
  const isOwner = await tx.membership.count({
    where: { businessId: actor.businessId, personId, roles: { has: 'owner' }, revokedAt: null, loginId: { not: null } },
  })
  if (isOwner > 0 && others === 0) return LAST_OWNER
  return null
}
