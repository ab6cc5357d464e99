import 'server-only'
import { type CommandContext, defineCommand } from '../frame/command'
import { done, invalid, refused } from '../frame/result'
import { NO_PLACE } from './parts-command'
import { addPlaceSchema, editPlaceSchema, onePlaceSchema } from './schema'
import { holdings } from './stock'

/** Adds a shelf, or a van and who drives it. Its id is the command's. */
export const addPlace = defineCommand(
  { kind: 'parts.place-add', may: 'parts.change', schema: addPlaceSchema },
  async (context, input) => {
    const { tx, actor, commandId, audit } = context
    const { kind, name } = input
    const personId = await driverOf(context, kind === 'van' ? input.personId : '', null)
    if (!personId.ok) return personId
    const row = { kind, name, personId: personId.value }
    await tx.stockPlace.create({ data: { businessId: actor.businessId, id: commandId, ...row } })
    await audit('stock_place', commandId, 'add', undefined, row)
    return done({ placeId: commandId })
  },
)

/** Changes its name or who drives it. */
export const editPlace = defineCommand(
  { kind: 'parts.place-edit', may: 'parts.change', schema: editPlaceSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const before = await openPlace(context, input.placeId)
    if (!before) return NO_PLACE
    const personId = await driverOf(context, before.kind === 'van' ? input.personId : '', before.id)
    if (!personId.ok) return personId
    const row = { name: input.name, personId: personId.value }
    await tx.stockPlace.update({ where: { businessId_id: { businessId: actor.businessId, id: before.id } }, data: row })
    await audit('stock_place', before.id, 'edit', before, row)
    return done({ placeId: before.id })
  },
)

/** Takes a place out of use. Refused while something lies there on paper. */
export const archivePlace = defineCommand(
  { kind: 'parts.place-archive', may: 'parts.change', schema: onePlaceSchema },
  async (context, input) => {
    const { tx, actor, audit, madeAt } = context
    const { businessId } = actor
    const before = await openPlace(context, input.placeId)
    if (!before) return NO_PLACE
    const held = await holdings(tx, businessId, { placeId: before.id })
    if (held.length > 0)
      return refused('in-use', 'Something still lies there on paper. Move it or count it to 0 first.')
    await tx.stockPlace.update({
      where: { businessId_id: { businessId, id: before.id } },
      data: { archivedAt: madeAt },
    })
    await audit('stock_place', before.id, 'archive', before, { archivedAt: madeAt })
    return done({ placeId: before.id })
  },
)

/** A place in use; null where there is none. */
export function openPlace({ tx, actor }: CommandContext, id: string) {
  return tx.stockPlace.findFirst({ where: { businessId: actor.businessId, id, archivedAt: null } })
}

/** Whoever drives a van; one person has one van, so that what they use comes off the right one. */
async function driverOf({ tx, actor }: CommandContext, personId: string, placeId: string | null) {
  if (personId === '') return done(null)
  const { businessId } = actor
  if (!(await tx.person.findFirst({ where: { businessId, id: personId, archivedAt: null } })))
    return invalid({ personId: ['This person is not here any more.'] })
  const other = await tx.stockPlace.findFirst({
    where: { businessId, personId, archivedAt: null, ...(placeId ? { id: { not: placeId } } : {}) },
  })
  if (other) return invalid({ personId: [`They drive ${other.name} already.`] })
  return done(personId)
}
